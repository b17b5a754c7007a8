// SPDX-License-Identifier: Apache-2.0
// Records of trips as a sound vehicle would leave them, to be bent by tests.
#pragma once

#include "coolband/core/timestamp.hpp"
#include "fleet/trip_measures.hpp"
#include "numeric/distributions.hpp"
#include "numeric/splitmix.hpp"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <numbers>
#include <string>
#include <vector>

namespace coolband::testing {

inline double normal(SplitMix& random) { return normal_quantile(random.share() + 1e-17); }

/// Heavy tails: Student's t with three degrees of freedom, scaled to unit variance.
inline double wild(SplitMix& random) {
  return student_t_quantile(random.share() + 1e-17, 3.0) / std::sqrt(3.0);
}

struct TripMaker {
  std::uint64_t seed = 1;
  std::size_t count = 100;
  double days_apart = 2.0;
  double season_k = 0.0; ///< that the level rises between winter and summer, unknown to the band
  std::function<double(SplitMix&)> noise = normal;
  /// K to be added to the level of trip i.
  std::function<double(std::size_t)> drift = [](std::size_t) { return 0.0; };
};

inline std::string instant(double day) {
  return format_instant({ClockKind::absolute, 1924992000.0, 0}, day * 86400.0); // from 2031-01-01
}

/// Level and level at load only; the latter twice as far off, and twice as wild.
inline std::vector<TripMeasures> made_trips(const TripMaker& maker) {
  SplitMix random(maker.seed);
  std::vector<TripMeasures> trips;
  for (std::size_t i = 0; i < maker.count; ++i) {
    const double day = maker.days_apart * static_cast<double>(i);
    const double season = -std::cos(2.0 * std::numbers::pi * day / 365.0);
    TripMeasures trip;
    trip.source = "trip-" + std::to_string(i) + ".csv";
    trip.start = instant(day);
    trip.duration_s = 2400.0;
    trip.judged_s = 1800.0;
    trip.sensor = "coolant";
    trip.band = BandOrigin::learned;
    trip.ambient_c = 12.0 + 10.0 * season + 4.0 * normal(random);
    trip.load_pct = 40.0 + 8.0 * normal(random);
    trip.condition = Condition::normal;
    const double shift_k = maker.drift(i) + 0.5 * maker.season_k * (*trip.ambient_c - 12.0) / 10.0;
    trip.measures[0] = Measured{82.0 + shift_k + 0.5 * maker.noise(random), 0.3, shift_k};
    trip.measures[1] = Measured{86.0 + 2.0 * shift_k + 1.0 * maker.noise(random), 0.6, shift_k};
    for (std::size_t m = 2; m < k_measures; ++m) trip.lacks.at(m) = "not made";
    trips.push_back(trip);
  }
  return trips;
}

/// From trip `from` on, so many K a trip.
inline std::function<double(std::size_t)> ramp(std::size_t from, double each_k) {
  return [=](std::size_t i) { return i < from ? 0.0 : each_k * static_cast<double>(i - from); };
}

} // namespace coolband::testing
