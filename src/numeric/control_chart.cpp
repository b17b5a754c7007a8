// SPDX-License-Identifier: Apache-2.0
// The CUSUM chart, with known parameters and self-starting.
#include "numeric/control_chart.hpp"

#include "numeric/distributions.hpp"
#include "numeric/special_values.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace coolband {

namespace {

// No score is larger than that of a value met once in 10^300; an infinite one would never let the
// sums come back.
constexpr double k_least_tail = 1e-300;

void step_side(double& sum, std::size_t& run, double drift) {
  sum = std::max(0.0, sum + drift);
  run = sum > 0.0 ? run + 1 : 0;
}

void skip_side(double sum, std::size_t& run) {
  if (sum > 0.0) ++run;
}

CusumAlarm alarm_at(std::size_t index, const CusumState& state, double h) {
  CusumAlarm alarm;
  alarm.index = index;
  alarm.upward = state.high > h;
  const std::size_t run = alarm.upward ? state.high_run : state.low_run;
  alarm.began = static_cast<std::ptrdiff_t>(index) + 1 - static_cast<std::ptrdiff_t>(run);
  return alarm;
}

void take(double score, const CusumDesign& design, CusumReport& report) {
  CusumState& state = report.state;
  if (std::isnan(score)) {
    ++report.without_score;
    skip_side(state.high, state.high_run);
    skip_side(state.low, state.low_run);
  } else {
    step_side(state.high, state.high_run, score - design.k);
    step_side(state.low, state.low_run, -score - design.k);
  }
  const bool beyond = state.high > design.h || state.low > design.h;
  if (beyond && !std::isnan(score) && !report.alarm)
    report.alarm = alarm_at(report.points.size(), state, design.h);
  report.points.push_back({score, state.high, state.low});
}

// NaN where the values before do not tell.
double score_of(double value, const RunningMoments& before, double least_spread) {
  if (!std::isfinite(value) || !(before.count >= 2.0)) return k_nan;
  const double freedom = before.count - 1.0;
  const double spread = std::max(std::sqrt(before.m2 / freedom), least_spread);
  if (!(spread > 0.0)) return k_nan;
  const double distance = value - before.mean;
  const double t = std::sqrt(before.count / (before.count + 1.0)) * std::abs(distance) / spread;
  const double tail = std::max(student_t_cdf(-t, freedom), k_least_tail);
  return std::copysign(normal_quantile(tail), distance);
}

} // namespace

std::string CusumDesign::validate() const {
  if (!(k >= 0.0) || std::isinf(k)) return fmt::format("k = {}: must be 0 or a positive number", k);
  if (!(h > 0.0) || std::isinf(h)) return fmt::format("h = {}: must be a positive number", h);
  if (!(head_start >= 0.0 && head_start <= h))
    return fmt::format("head_start = {}: must be between 0 and h", head_start);
  return {};
}

CusumState CusumState::start(const CusumDesign& design) {
  return {design.head_start, design.head_start, 0, 0};
}

CusumReport cusum(std::span<const double> scores, const CusumDesign& design,
                  const CusumState& start) {
  CusumReport report;
  report.state = start;
  report.points.reserve(scores.size());
  for (const double score : scores) take(std::isfinite(score) ? score : k_nan, design, report);
  return report;
}

CusumReport cusum(std::span<const double> scores, const CusumDesign& design) {
  return cusum(scores, design, CusumState::start(design));
}

void RunningMoments::add(double value) {
  count += 1.0;
  const double distance = value - mean;
  mean += distance / count;
  m2 += distance * (value - mean);
}

SelfStartingReport self_starting_cusum(std::span<const double> values, const CusumDesign& design,
                                       const CusumState& start, const RunningMoments& moments,
                                       double least_spread) {
  SelfStartingReport report;
  report.chart.state = start;
  report.chart.points.reserve(values.size());
  report.moments = moments;
  for (const double value : values) {
    take(score_of(value, report.moments, least_spread), design, report.chart);
    if (std::isfinite(value)) report.moments.add(value);
  }
  return report;
}

SelfStartingReport self_starting_cusum(std::span<const double> values, const CusumDesign& design) {
  return self_starting_cusum(values, design, CusumState::start(design), {});
}

} // namespace coolband
