// SPDX-License-Identifier: Apache-2.0
// A band written and read again in one go, for those who go on with what the file says.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/core/result.hpp"

#include <functional>
#include <string>

namespace coolband {

struct WrittenBand {
  std::string text; ///< as `write_band` has it
  /// As `parse_band` has it of that text: the file's numbers, not those behind them.
  Result<NormalBand> band;
};

/// `extra_of` gets what `write_band` makes of the band without its `extra_json`, and gives the
/// `extra_json` with which it is written. `name` is the file's in errors.
WrittenBand written_with(const NormalBand& band,
                         const std::function<std::string(const std::string& bare)>& extra_of,
                         const std::string& name);

} // namespace coolband
