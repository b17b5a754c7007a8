// SPDX-License-Identifier: Apache-2.0
// Each block of a trip against what the band expects under that block's conditions.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "coolband/segment/trip.hpp"

#include <optional>
#include <vector>

namespace coolband {

/// One entry a block; NaN where the block is not judged (no reading, engine off, warming up).
struct Deviations {
  std::vector<double> from_centre_c; ///< K, signed
  std::vector<double> limit_c;       ///< K, beyond which the block lies outside the band
  std::vector<double> duration_s;    ///< s
  double judged_s = 0.0;             ///< s, warm blocks only (a restart settles, it is not judged)
};

Deviations deviations_from(const Trip& trip, const NormalBand& band, const JudgeOptions& options);

/// A block value, or nothing when it is NaN.
std::optional<double> known(float value);

} // namespace coolband
