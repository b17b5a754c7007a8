// SPDX-License-Identifier: Apache-2.0
// Each block of a trip against what the band expects under that block's conditions.
#include "diagnose/deviations.hpp"

#include "band/condition_walk.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

Deviations deviations_from(const Trip& trip, const NormalBand& band, const JudgeOptions& options) {
  const Blocks& blocks = trip.blocks;
  Deviations result;
  result.from_centre_c.assign(blocks.size(), std::nanf(""));
  result.limit_c.assign(blocks.size(), std::nanf(""));
  result.duration_s.assign(blocks.size(), 0.0F);
  // Half a step of the reading is rounding, not deviation.
  const double floor_c = options.least_deviation_c + trip.resolution_c / 2.0;
  const Predictor predictor(band);
  ConditionWalk walk(blocks);
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    walk.step();
    const auto coolant = known(blocks.coolant[i]);
    const bool running_hot = blocks.phase[i] == Phase::warm || blocks.phase[i] == Phase::restart;
    if (!coolant || !running_hot) continue;
    const Prediction expected = predictor.at(walk.conditions());
    const double duration_s = blocks.end_s[i] - blocks.start_s[i] + trip.sample_period_s;
    result.from_centre_c[i] = static_cast<float>(*coolant - expected.centre_c);
    result.limit_c[i] = static_cast<float>(std::max(floor_c, expected.upper_c - expected.centre_c));
    result.duration_s[i] = static_cast<float>(duration_s);
    if (blocks.phase[i] != Phase::warm) continue;
    result.judged_s += duration_s;
    result.beyond_seen_s += expected.extrapolated ? duration_s : 0.0;
  }
  return result;
}

Deviations warm_up_deviations(const Trip& trip, const NormalBand& band, const SoundCourse& course,
                              const JudgeOptions& options) {
  /// The error of a warm-up is that of heat and capacity, which no log tells exactly.
  constexpr double k_errors = 3.0;
  const Blocks& blocks = trip.blocks;
  Deviations result;
  result.from_centre_c.assign(blocks.size(), std::nanf(""));
  result.limit_c.assign(blocks.size(), std::nanf(""));
  result.duration_s.assign(blocks.size(), 0.0F);
  const double floor_k = 2.0 * options.least_deviation_c + trip.resolution_c / 2.0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (blocks.phase[i] != Phase::warm_up || std::isnan(course.reading_c[i])) continue;
    const bool early = blocks.coolant[i] > course.reading_c[i] &&
                       static_cast<double>(blocks.coolant[i]) < band.centre_c;
    if (early) continue;
    result.from_centre_c[i] = blocks.coolant[i] - course.reading_c[i];
    result.limit_c[i] =
        static_cast<float>(std::max(floor_k, k_errors * static_cast<double>(course.error_k[i])));
    result.duration_s[i] =
        static_cast<float>(blocks.end_s[i] - blocks.start_s[i] + trip.sample_period_s);
  }
  return result;
}

} // namespace coolband
