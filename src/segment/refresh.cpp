// SPDX-License-Identifier: Apache-2.0
// The shortest times between two changes of a value.
#include "segment/refresh.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

constexpr std::size_t k_least_to_bound = 5;
constexpr std::size_t k_least_to_measure = 30;
/// Intervals up to this many times the shortest tenth are single periods: less than two, more than
/// the jitter of polling and rows that do not keep step.
constexpr double k_single = 1.5;

struct Shortest {
  double mean_s = 0.0;
  double limit_s = 0.0; ///< longer intervals are more than one period
  std::size_t count = 0;
};

float shortest_tenth(std::vector<float> intervals) {
  const auto tenth = intervals.begin() + static_cast<std::ptrdiff_t>(intervals.size() / 10);
  std::nth_element(intervals.begin(), tenth, intervals.end());
  return *tenth;
}

/// `intervals` is not empty.
Shortest shortest_of(const std::vector<float>& intervals) {
  float least = intervals.front();
  for (const float interval : intervals) least = std::min(least, interval);
  Shortest shortest;
  // On an even clock a signal that moves has the shortest interval often: there is nothing to
  // select.
  const auto as_short = std::count(intervals.begin(), intervals.end(), least);
  const float tenth = static_cast<std::size_t>(as_short) > intervals.size() / 10
                          ? least
                          : shortest_tenth(intervals);
  shortest.limit_s = k_single * static_cast<double>(tenth);
  double sum_s = 0.0;
  for (const float interval : intervals) {
    if (static_cast<double>(interval) > shortest.limit_s) continue;
    sum_s += static_cast<double>(interval);
    ++shortest.count;
  }
  shortest.mean_s = sum_s / static_cast<double>(shortest.count);
  return shortest;
}

/// True when most of the single-period changes are of more than the smallest step.
bool moves_freely(const std::vector<float>& intervals, const std::vector<float>& sizes,
                  double limit_s) {
  const float step = *std::min_element(sizes.begin(), sizes.end());
  std::size_t single = 0;
  std::size_t larger = 0;
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    if (static_cast<double>(intervals[i]) > limit_s) continue;
    ++single;
    larger += sizes[i] > 1.5F * step ? 1U : 0U;
  }
  return 2 * larger > single;
}

} // namespace

void RefreshWatch::add(std::span<const double> times_s, std::span<const float> values) {
  rows_ += values.size();
  if (intervals_s_.empty()) {
    // Enough where every row brings a new value.
    intervals_s_.reserve(values.size());
    sizes_.reserve(values.size());
  }
  for (std::size_t i = 0; i < values.size(); ++i) {
    const float value = values[i];
    if (std::isnan(value)) {
      blank_ = true;
      continue;
    }
    const double time_s = times_s[i];
    if (known_ > 0) {
      if (blank_) arrivals_s_.push_back(static_cast<float>(time_s - last_s_));
      if (value != last_) add_change(time_s, value);
    }
    ++known_;
    blank_ = false;
    last_ = value;
    last_s_ = time_s;
  }
}

void RefreshWatch::add_change(double time_s, float value) {
  if (changed_s_ && time_s > *changed_s_) {
    intervals_s_.push_back(static_cast<float>(time_s - *changed_s_));
    sizes_.push_back(std::abs(value - last_));
  }
  changed_s_ = time_s;
}

std::optional<Refresh> RefreshWatch::estimate(Role role, double row_period_s) const {
  // Most cells empty: a value comes when there is one.
  if (2 * known_ < rows_ && arrivals_s_.size() >= k_least_to_bound)
    return Refresh{role, shortest_of(arrivals_s_).mean_s, false};
  if (intervals_s_.size() < k_least_to_bound) return std::nullopt;
  const Shortest shortest = shortest_of(intervals_s_);
  const bool enough = intervals_s_.size() >= k_least_to_measure;
  const bool every_row = shortest.mean_s <= k_single * row_period_s;
  const bool lively = 2 * shortest.count >= intervals_s_.size() &&
                      moves_freely(intervals_s_, sizes_, shortest.limit_s);
  return Refresh{role, shortest.mean_s, !(enough && (every_row || lively))};
}

} // namespace coolband
