// SPDX-License-Identifier: Apache-2.0
// What a band would be had its drives been logged with fewer columns.
#pragma once

#include "coolband/band/normal_band.hpp"

#include <optional>

namespace coolband {

/// Columns that are not to be used.
struct Withheld {
  bool load = false;
  bool ambient = false;
  bool speed = false; ///< nor standing, which road speed tells
  bool altitude = false;
};

/// Centre, spread and corrections learned again from the summaries of the same drives; all else
/// stays. Nothing where that is no usable band.
std::optional<NormalBand> without(const NormalBand& band, const Withheld& withheld);

} // namespace coolband
