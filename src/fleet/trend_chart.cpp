// SPDX-License-Identifier: Apache-2.0
// Residuals of what the trips before foretell, scored, summed.
#include "fleet/trend_chart.hpp"

#include "core/portable_math.hpp"
#include "numeric/bounded_scores.hpp"
#include "numeric/control_chart.hpp"
#include "numeric/recursive_residuals.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

constexpr double k_hot_c = 25.0;
/// A vehicle that scatters less than so many times the usual is not watched for less.
constexpr double k_least_scatter = 0.5;
/// A value so far off by the scatter of those before moves the level no further: Huber's constant
/// for 95 % efficiency (from memory).
constexpr double k_most_scatters = 1.345;
/// Below this height a sound vehicle's chart is every few dozen values: no need to work it out.
constexpr double k_low = 3.0;
/// The integral equation tells no longer run.
constexpr double k_longest_run = 1e10;
constexpr double k_highest = 22.0;

std::vector<double> scores_of(std::span<const ChartValue> values, const MeasureHabits& habits) {
  auto errors = condition_errors(habits);
  for (double& error : errors) error /= habits.scatter;
  RecursiveResiduals residuals(errors);
  BoundedScores bounded(k_least_scatter);
  std::vector<double> scores;
  scores.reserve(values.size());
  for (const ChartValue& value : values) {
    const double within = value.error / habits.scatter;
    const double most = k_most_scatters * std::max(1.0, bounded.spread());
    const double residual = residuals.residual(value.value / habits.scatter, value.conditions,
                                               1.0 + within * within, most);
    // The first one only gives the level.
    const bool first = scores.empty();
    scores.push_back(first ? 0.0 : bounded.score(residual));
  }
  return scores;
}

double run_length_at(double height) {
  if (height < k_low) return 1.0;
  const double height_told = std::min(height, k_highest);
  return std::min(cusum_average_run_length(0.0, {k_trend_k, height_told, 0.0}), k_longest_run);
}

/// Run lengths in control are close to geometric.
double chance_within(std::size_t values, double run_length) {
  return -portable_expm1(-static_cast<double>(values) / run_length);
}

} // namespace

const MeasureHabits& habits_of(Measure measure) {
  // What 10 K of weather do besides the band, from trip to trip, and what is worth a look: common
  // practice, no source, but for the 3 °C within which a thermostat may begin to open (TM
  // 5-3825-229-14&P): 2 K of its opening are the least that is a change.
  static constexpr std::array<MeasureHabits, k_measures> k_habits{{
      {0.4, 0.7, 1.0, 0.7, 1.0},   // level
      {0.6, 0.7, 1.0, 0.7, 1.0},   // level at load
      {0.2, 0.1, 0.3, 0.1, 0.25},  // spread
      {0.8, 0.4, 1.0, 0.4, 2.0},   // opening
      {0.15, 0.1, 0.2, 0.05, 0.2}, // warm-up
      {1.0, 1.0, 2.0, 0.3, 1.5},   // hottest idle
  }};
  return k_habits.at(static_cast<std::size_t>(measure));
}

std::array<double, k_trip_conditions> trip_conditions(const TripMeasures& trip) {
  const double ambient_c = trip.ambient_c.value_or(k_common_ambient_c);
  const double load_pct = trip.load_pct.value_or(k_common_load_pct);
  return {(ambient_c - k_common_ambient_c) / 10.0, std::max(0.0, ambient_c - k_hot_c) / 10.0,
          (load_pct - k_common_load_pct) / 10.0};
}

std::array<double, k_trip_conditions> condition_errors(const MeasureHabits& habits) {
  return {habits.by_ambient, habits.by_heat, habits.by_load};
}

TrendChart trend_chart(std::span<const ChartValue> values, const MeasureHabits& habits) {
  TrendChart chart;
  chart.scores = scores_of(values, habits);
  const auto report = cusum(chart.scores, {k_trend_k, 1.0, 0.0});
  const CusumState& state = report.state;
  chart.upward = state.high >= state.low;
  chart.height = std::max(state.high, state.low);
  chart.began = values.size() - (chart.upward ? state.high_run : state.low_run);
  chart.run_length = run_length_at(chart.height);
  chart.p = chance_within(k_kept_trips, chart.run_length);
  return chart;
}

} // namespace coolband
