// SPDX-License-Identifier: Apache-2.0
// Bands that a fleet's run learns by itself. Such a band file says so of itself, with a fingerprint
// of the rest: once a person has changed it, it is a given band and never touched again.
#pragma once

#include "band/written_band.hpp"
#include "coolband/band/normal_band.hpp"

#include <optional>
#include <string>

namespace coolband {

struct OwnMark {
  bool circuit_tried = false; ///< the thermal circuit was fitted, or cannot be
};

/// Of all in a band that a judgement depends on: no history, no mark.
std::string fingerprint_of(const NormalBand& band);

/// The file of a band learned here, whose fingerprint is given.
std::string write_own_band(const NormalBand& band, OwnMark mark, const std::string& fingerprint);

struct OwnBand {
  std::string fingerprint;
  WrittenBand written;
};
/// The fingerprint, the file and what the file says, in one go. `path` is the file's in errors.
OwnBand make_own_band(const NormalBand& band, OwnMark mark, const std::string& path);

/// The mark, where the band is as a fleet's run wrote it. `fingerprint` is that of the band.
std::optional<OwnMark> own_mark(const NormalBand& band, const std::string& fingerprint);

} // namespace coolband
