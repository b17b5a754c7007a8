// SPDX-License-Identifier: Apache-2.0
// A limit of regulation, and a sum of causes.
#include "diagnose/runs_hot.hpp"

#include "diagnose/opening_span.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// The start of opening may be off by so much (TM 5-3825-229-14&P: 3 °C is the limit).
constexpr double k_widest_rating_error_k = 3.0;
constexpr double k_together_s = 180.0;
/// What speaks for a sound vehicle, a cold one or a wrong reading must be less probable than this
/// together.
constexpr double k_otherwise = 0.2;

} // namespace

std::vector<bool> beyond_regulation(const Trip& trip, const NormalBand& band) {
  const Blocks& blocks = trip.blocks;
  if (band.origin == BandOrigin::trip) return {};
  const double limit_c = band.centre_c + k_widest_span_k + k_widest_rating_error_k;
  std::vector<bool> beyond(blocks.size(), false);
  std::size_t first = 0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const bool hot = blocks.phase[i] == Phase::warm &&
                     static_cast<double>(blocks.coolant[i]) >= limit_c; // false for NaN
    if (!hot) first = i + 1;
    if (!hot || blocks.end_s[i] - blocks.start_s[first] < k_together_s) continue;
    std::fill(beyond.begin() + static_cast<std::ptrdiff_t>(first),
              beyond.begin() + static_cast<std::ptrdiff_t>(i + 1), true);
  }
  return beyond;
}

bool hot_for_any_cause(const std::vector<Cause>& causes) {
  double otherwise = 0.0;
  for (const Cause& cause : causes) {
    const bool hot = cause.condition != Condition::normal &&
                     cause.condition != Condition::sensor_fault &&
                     cause.condition != Condition::thermostat_stuck_open;
    otherwise += hot ? 0.0 : cause.probability;
  }
  return otherwise < k_otherwise;
}

} // namespace coolband
