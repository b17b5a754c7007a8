// SPDX-License-Identifier: Apache-2.0
// A control chart over the trips of one vehicle that starts by itself, knows no spread, and does
// not take a season for a fault.
#pragma once

#include "fleet/trip_measures.hpp"

#include <array>
#include <cstddef>
#include <limits>
#include <span>
#include <vector>

namespace coolband {

/// How a measure usually behaves from trip to trip in a sound vehicle: judgement, in its own unit.
struct MeasureHabits {
  double scatter = 1.0;      ///< standard deviation between trips
  double by_ambient = 0.0;   ///< what 10 K of weather may add besides what the band says (1 s.d.)
  double by_heat = 0.0;      ///< and above 25 °C besides, where cooling nears its end
  double by_load = 0.0;      ///< and 10 % of load
  double least_change = 0.0; ///< less is nothing to act upon
};
const MeasureHabits& habits_of(Measure measure);

inline constexpr std::size_t k_trip_conditions = 3;
/// What a trip was like, in the units of the habits; 0 where it is not known.
std::array<double, k_trip_conditions> trip_conditions(const TripMeasures& trip);
/// The habits' part of the conditions, in their order.
std::array<double, k_trip_conditions> condition_errors(const MeasureHabits& habits);

struct ChartValue {
  double value = 0.0;
  double error = 0.0;
  std::array<double, k_trip_conditions> conditions{};
};

/// Two-sided CUSUM of bounded scores of recursive residuals (docs/methods.md).
struct TrendChart {
  std::vector<double> scores; ///< one a value; 0 for the first few
  double height = 0.0;        ///< of the higher sum, at the last value
  bool upward = false;
  std::size_t began = 0; ///< first value of the run that led there
  /// A chart of a sound vehicle gets so high once in so many values; at most 1e10.
  double run_length = 1.0;
  /// Chance that the chart of a sound vehicle gets so high at any time within `k_kept_trips`
  /// values: it may be looked at every night.
  double p = 1.0;
};
TrendChart trend_chart(std::span<const ChartValue> values, const MeasureHabits& habits);

/// Half of the lasting shift, in standard deviations, that the chart is quickest to find.
inline constexpr double k_trend_k = 0.5;

} // namespace coolband
