// SPDX-License-Identifier: Apache-2.0
// Each block of a trip against what the band expects under that block's conditions.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "coolband/segment/trip.hpp"
#include "diagnose/sound_course.hpp"

#include <cmath>
#include <optional>
#include <vector>

namespace coolband {

/// One entry a block; NaN where the block is not judged (no reading, engine off, warming up).
struct Deviations {
  std::vector<float> from_centre_c; ///< K, signed
  std::vector<float> limit_c;       ///< K, beyond which the block lies outside the band
  std::vector<float> duration_s;    ///< s
  double beyond_seen_s = 0.0;       ///< part of `judged_s` in which the band had to be extrapolated
  double judged_s = 0.0;            ///< s, warm blocks only (a restart settles, it is not judged)

  [[nodiscard]] std::size_t size() const { return from_centre_c.size(); }
  [[nodiscard]] double from_centre(std::size_t i) const {
    return static_cast<double>(from_centre_c[i]);
  }
  [[nodiscard]] double limit(std::size_t i) const { return static_cast<double>(limit_c[i]); }
  [[nodiscard]] double duration(std::size_t i) const { return static_cast<double>(duration_s[i]); }
};

Deviations deviations_from(const Trip& trip, const NormalBand& band, const JudgeOptions& options);

/// Blocks of the warm-ups, which the band does not judge, against what a sound vehicle would have
/// read; the limit is as many standard errors of that as are needed to be sure. Not judged time.
/// Warming up faster than foreseen is no fault before the level is passed.
Deviations warm_up_deviations(const Trip& trip, const NormalBand& band, const SoundCourse& course,
                              const JudgeOptions& options);

/// A block value, or nothing when it is NaN.
inline std::optional<double> known(float value) {
  return std::isnan(value) ? std::nullopt : std::optional(static_cast<double>(value));
}

} // namespace coolband
