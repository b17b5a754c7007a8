// SPDX-License-Identifier: Apache-2.0
// Charts for finding, a robust line for telling how fast.
#include "fleet/trends.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "coolband/numeric/robust_fit.hpp"
#include "fleet/trend_chart.hpp"
#include "fleet/trend_days.hpp"
#include "numeric/autocorrelation.hpp"
#include "numeric/false_discovery.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>

namespace coolband {

namespace {

/// A value told no better than so many times its usual scatter tells nothing.
constexpr double k_worst_error = 3.0;
/// Standard error of a median over that of a mean, sqrt(π/2).
constexpr double k_median_error = 1.2533141373155003;

/// The trips that tell one measure.
struct Series {
  std::vector<ChartValue> values;
  std::vector<std::size_t> trip; ///< index
};

Series series_of(std::span<const TripMeasures> trips, Measure measure) {
  const double worst = k_worst_error * habits_of(measure).scatter;
  Series series;
  for (std::size_t i = 0; i < trips.size(); ++i) {
    const auto& told = trips[i].of(measure);
    if (!told || !std::isfinite(told->value) || !(told->error <= worst)) continue;
    series.values.push_back({told->value, told->error, trip_conditions(trips[i])});
    series.trip.push_back(i);
  }
  return series;
}

/// Time, conditions: the columns of a line. Each condition is held near 0 by one more row.
struct Line {
  std::vector<double> y;
  std::vector<std::vector<double>> columns; ///< 1, time, conditions
  std::vector<double> weights;
};

Line line_over(const Series& series, const std::vector<double>& time, const MeasureHabits& habits) {
  Line line;
  line.columns.resize(2 + k_trip_conditions);
  for (std::size_t i = 0; i < series.values.size(); ++i) {
    const ChartValue& value = series.values[i];
    line.y.push_back(value.value);
    line.columns[0].push_back(1.0);
    line.columns[1].push_back(time[i]);
    for (std::size_t j = 0; j < k_trip_conditions; ++j)
      line.columns[2 + j].push_back(value.conditions.at(j));
    const double part = value.error / habits.scatter;
    line.weights.push_back(1.0 / (1.0 + part * part));
  }
  const auto errors = condition_errors(habits);
  for (std::size_t j = 0; j < k_trip_conditions; ++j) {
    line.y.push_back(0.0);
    for (auto& column : line.columns) column.push_back(0.0);
    line.columns[2 + j].back() = habits.scatter / errors.at(j);
    line.weights.push_back(1.0);
  }
  return line;
}

struct FittedLine {
  TrendSlope slope;
  std::vector<double> adjusted; ///< values without what the conditions add
};

std::vector<double> less(const Line& line, const RobustFit& fit, std::size_t first_column,
                         std::size_t count) {
  std::vector<double> rest(line.y.begin(), line.y.begin() + static_cast<std::ptrdiff_t>(count));
  for (std::size_t j = first_column; j < line.columns.size(); ++j) {
    for (std::size_t i = 0; i < count; ++i) rest[i] -= fit.coefficients[j] * line.columns[j][i];
  }
  return rest;
}

std::optional<FittedLine> fitted_line(const Series& series, const std::vector<double>& time,
                                      const MeasureHabits& habits) {
  const Line line = line_over(series, time, habits);
  RobustFitOptions options;
  options.intercept = false;
  const auto fit = fit_robust(line.y, line.columns, options, line.weights);
  if (!fit || std::isnan(fit->standard_errors[1])) return std::nullopt;
  const std::size_t count = series.values.size();
  const double looks = std::max(1.0, effective_count(less(line, *fit, 0, count)));
  const double factor = std::sqrt(static_cast<double>(count) / looks);
  return FittedLine{{fit->coefficients[1], fit->standard_errors[1] * factor},
                    less(line, *fit, 2, count)};
}

std::vector<double> times_of(const Series& series, const std::function<double(std::size_t)>& at) {
  std::vector<double> time;
  for (std::size_t i = 0; i < series.trip.size(); ++i) time.push_back(at(i));
  return time;
}

bool all_dated(std::span<const TripMeasures> trips, const Series& series) {
  return std::all_of(series.trip.begin(), series.trip.end(),
                     [&](std::size_t i) { return days_of(trips[i].start).has_value(); });
}

/// Hours driven before each trip.
std::vector<double> hours_before(std::span<const TripMeasures> trips) {
  std::vector<double> hours(trips.size(), 0.0);
  for (std::size_t i = 1; i < trips.size(); ++i)
    hours[i] = hours[i - 1] + trips[i - 1].duration_s / 3600.0;
  return hours;
}

std::optional<TrendSlope> slope_of(const std::optional<FittedLine>& line) {
  return line ? std::optional(line->slope) : std::nullopt;
}

void add_slopes(std::span<const TripMeasures> trips, const Series& series,
                const std::optional<FittedLine>& by_trip, MeasureTrend& trend) {
  const MeasureHabits& habits = habits_of(trend.measure);
  if (by_trip) trend.per_100_trips = by_trip->slope;
  const auto hours = hours_before(trips);
  const auto by_hours =
      times_of(series, [&](std::size_t i) { return hours[series.trip[i]] / 1000.0; });
  trend.per_1000_h = slope_of(fitted_line(series, by_hours, habits));
  if (!all_dated(trips, series)) return;
  const double first = *days_of(trips[series.trip.front()].start);
  const auto by_days = times_of(series, [&](std::size_t i) {
    return (*days_of(trips[series.trip[i]].start) - first) / 100.0;
  });
  trend.per_100_days = slope_of(fitted_line(series, by_days, habits));
}

struct Middle {
  double median = 0.0;
  double error = 0.0;
};

Middle middle_of(std::vector<double> values, double least_scatter) {
  const double scatter = std::max(mad_sigma(values), 0.5 * least_scatter);
  const double error = k_median_error * scatter / std::sqrt(static_cast<double>(values.size()));
  return {median(std::move(values)), error};
}

/// The latest trips beside those before the run began.
void add_change(const std::vector<double>& adjusted, std::size_t began, MeasureTrend& trend) {
  constexpr std::size_t k_least_side = 5;
  const std::size_t count = adjusted.size();
  const std::size_t before = std::clamp(began, k_least_side, count - k_least_side);
  const std::size_t latest = std::max(k_least_side, (count - before) / 3);
  const auto middle = adjusted.begin() + static_cast<std::ptrdiff_t>(before);
  const double scatter = habits_of(trend.measure).scatter;
  const Middle old = middle_of({adjusted.begin(), middle}, scatter);
  const Middle now =
      middle_of({adjusted.end() - static_cast<std::ptrdiff_t>(latest), adjusted.end()}, scatter);
  trend.before = old.median;
  trend.change = now.median - old.median;
  trend.change_error = std::hypot(old.error, now.error);
}

void add_chart(std::span<const TripMeasures> trips, const Series& series, const TrendChart& chart,
               MeasureTrend& trend) {
  trend.upward = chart.upward;
  trend.run_length = chart.run_length;
  trend.trips_since = series.values.size() - chart.began;
  const std::size_t began = series.trip[std::min(chart.began, series.trip.size() - 1)];
  trend.since = trips[began].start;
  const auto from = days_of(trips[began].start);
  const auto to = days_of(trips[series.trip.back()].start);
  if (from && to) trend.days = *to - *from;
}

bool worth_acting(const MeasureTrend& trend) {
  return std::abs(trend.change) >= habits_of(trend.measure).least_change &&
         (trend.change > 0.0) == trend.upward;
}

MeasureTrend measure_trend(std::span<const TripMeasures> trips, Measure measure) {
  const MeasureHabits& habits = habits_of(measure);
  const Series series = series_of(trips, measure);
  MeasureTrend trend;
  trend.measure = measure;
  trend.trips = series.values.size();
  if (trend.trips < k_least_trend_trips) {
    trend.lacks = "too few trips tell it";
    return trend;
  }
  const TrendChart chart = trend_chart(series.values, habits);
  add_chart(trips, series, chart, trend);
  const auto by_trip =
      times_of(series, [](std::size_t i) { return 0.01 * static_cast<double>(i); });
  const auto line = fitted_line(series, by_trip, habits);
  add_slopes(trips, series, line, trend);
  if (line) add_change(line->adjusted, chart.began, trend);
  trend.p = worth_acting(trend) ? chart.p : 1.0;
  return trend;
}

bool serviced_between(const TripMeasures& before, const TripMeasures& after,
                      const std::vector<std::string>& services) {
  const auto from = days_of(before.start);
  const auto to = days_of(after.start);
  if (!from || !to) return false;
  return std::any_of(services.begin(), services.end(), [&](const std::string& service) {
    const auto day = days_of(service);
    return day && *from < *day && *day <= *to;
  });
}

/// The first trip of the present baseline.
std::size_t baseline_start(std::span<const TripMeasures> trips,
                           const std::vector<std::string>& services) {
  std::size_t start = 0;
  for (std::size_t i = 1; i < trips.size(); ++i) {
    const bool another = trips[i].since != trips[i - 1].since;
    if (another || serviced_between(trips[i - 1], trips[i], services)) start = i;
  }
  return start;
}

/// Those of the latest sensor that count.
std::vector<TripMeasures> fit_trips(std::span<const TripMeasures> trips, VehicleTrend& trend) {
  std::vector<TripMeasures> fit;
  for (const TripMeasures& trip : trips) {
    if (trip.sensor != trips.back().sensor)
      ++trend.other_sensor;
    else if (!trip.unfit.empty())
      ++trend.unfit;
    else
      fit.push_back(trip);
  }
  return fit;
}

double charts_of(const VehicleTrend& trend) {
  return static_cast<double>(
      std::count_if(trend.measures.begin(), trend.measures.end(),
                    [](const MeasureTrend& measure) { return measure.lacks.empty(); }));
}

} // namespace

std::vector<std::string> service_days(const History& history) {
  std::vector<std::string> days;
  for (const HistoryEntry& entry : history.entries) {
    if (entry.kind == EventKind::service) days.push_back(entry.date);
  }
  return days;
}

VehicleTrend trend_of(std::span<const TripMeasures> trips, const TrendOptions& options) {
  VehicleTrend trend;
  trend.before = baseline_start(trips, options.services);
  const auto fit = fit_trips(trips.subspan(trend.before), trend);
  trend.trips = fit.size();
  if (!fit.empty()) trend.baseline_from = fit.front().start;
  double least = 1.0;
  for (const Measure measure : all_measures()) {
    MeasureTrend& told = trend.measures[static_cast<std::size_t>(measure)];
    told = measure_trend(fit, measure);
    least = std::min(least, told.p);
  }
  const double charts = charts_of(trend);
  if (charts > 0.0) trend.p = std::min(1.0, least * charts);
  return trend;
}

FleetFinding finding_of(std::span<const double> p, Dependence dependence, double false_share) {
  FleetFinding finding;
  finding.adjusted = adjusted_p_values(p, dependence);
  for (std::size_t i = 0; i < p.size(); ++i) {
    if (finding.adjusted[i] > false_share || std::isnan(p[i])) continue;
    finding.found.push_back(i);
    finding.level = std::max(finding.level, p[i]);
  }
  std::stable_sort(finding.found.begin(), finding.found.end(),
                   [&](std::size_t a, std::size_t b) { return p[a] < p[b]; });
  return finding;
}

FleetFinding fleet_trends(std::span<const double> vehicle_p, double false_share) {
  return finding_of(vehicle_p, Dependence::positive, false_share);
}

// Selected vehicles are tested within at the level at which they were selected: Benjamini &
// Bogomolov, J. R. Statist. Soc. B 76 (2014) 297-318 (from memory).
std::vector<Measure> believed(const VehicleTrend& trend, double level) {
  const double charts = charts_of(trend);
  std::vector<MeasureTrend> told;
  std::copy_if(trend.measures.begin(), trend.measures.end(), std::back_inserter(told),
               [&](const MeasureTrend& measure) {
                 return measure.lacks.empty() && measure.p * charts <= level;
               });
  std::stable_sort(told.begin(), told.end(),
                   [](const MeasureTrend& a, const MeasureTrend& b) { return a.p < b.p; });
  std::vector<Measure> measures;
  measures.reserve(told.size());
  for (const MeasureTrend& measure : told) measures.push_back(measure.measure);
  return measures;
}

} // namespace coolband
