// SPDX-License-Identifier: Apache-2.0
// The shortest times between two changes of a value.
#include "segment/refresh.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

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

/// The largest float that is not above: what is compared with either is the same for floats.
float float_below(double limit) {
  const auto nearest = static_cast<float>(limit);
  return static_cast<double>(nearest) > limit ? std::nextafter(nearest, 0.0F) : nearest;
}

bool all_known(std::span<const float> values) {
  std::uint32_t unknown = 0;
  for (const float value : values) unknown += std::isnan(value) ? 1U : 0U;
  return unknown == 0;
}

float shortest_tenth(std::vector<float> intervals) {
  const auto tenth = intervals.begin() + static_cast<std::ptrdiff_t>(intervals.size() / 10);
  std::nth_element(intervals.begin(), tenth, intervals.end());
  return *tenth;
}

/// In several lanes: one after the other each comparison waits for the one before. No value is NaN.
float least_of(std::span<const float> values) {
  constexpr std::size_t k_lanes = 8;
  std::array<float, k_lanes> least;
  least.fill(values.front());
  std::size_t i = 0;
  for (; i + k_lanes <= values.size(); i += k_lanes) {
    for (std::size_t k = 0; k < k_lanes; ++k)
      least[k] = values[i + k] < least[k] ? values[i + k] : least[k];
  }
  for (; i < values.size(); ++i) least[0] = std::min(least[0], values[i]);
  return *std::min_element(least.begin(), least.end());
}

/// Counts as wide as the values: several go at a time.
std::size_t count_up_to(std::span<const float> values, float limit) {
  std::uint32_t count = 0;
  for (const float value : values) count += value <= limit ? 1U : 0U;
  return count;
}

/// `intervals` is not empty.
Shortest shortest_of(const std::vector<float>& intervals) {
  const float least = least_of(intervals);
  Shortest shortest;
  // On an even clock a signal that moves has the shortest interval often: there is nothing to
  // select.
  const std::size_t as_short = count_up_to(intervals, least);
  const float tenth = as_short > intervals.size() / 10 ? least : shortest_tenth(intervals);
  shortest.limit_s = k_single * static_cast<double>(tenth);
  // Where only the shortest count, their sum is exact in whatever order.
  if (count_up_to(intervals, float_below(shortest.limit_s)) == as_short) {
    shortest.count = as_short;
    shortest.mean_s = static_cast<double>(least);
    return shortest;
  }
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
  const float step = least_of(sizes);
  const float limit = float_below(limit_s);
  std::uint32_t single = 0;
  std::uint32_t larger = 0;
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    const std::uint32_t is_single = intervals[i] <= limit ? 1U : 0U;
    single += is_single;
    larger += sizes[i] > 1.5F * step ? is_single : 0U;
  }
  return std::size_t{2} * larger > single;
}

} // namespace

void RefreshWatch::add(std::span<const double> times_s, std::span<const float> values) {
  rows_ += values.size();
  if (intervals_s_.empty()) {
    // Enough where every row brings a new value.
    intervals_s_.reserve(values.size());
    sizes_.reserve(values.size());
  }
  std::size_t i = 0;
  for (; i < values.size() && (!changed_s_ || blank_); ++i) add_one(times_s[i], values[i]);
  if (all_known(values.subspan(i))) return add_known(times_s.subspan(i), values.subspan(i));
  for (; i < values.size(); ++i) add_one(times_s[i], values[i]);
}

void RefreshWatch::add_one(double time_s, float value) {
  if (std::isnan(value)) {
    blank_ = true;
    return;
  }
  if (known_ > 0) {
    if (blank_) arrivals_s_.push_back(static_cast<float>(time_s - last_s_));
    if (value != last_) add_change(time_s, value);
  }
  ++known_;
  blank_ = false;
  last_ = value;
  last_s_ = time_s;
}

/// As `add_one` for each, behind a first change and without a blank before; written without a
/// branch, since which rows bring a new value cannot be foretold.
void RefreshWatch::add_known(std::span<const double> times_s, std::span<const float> values) {
  if (values.empty()) return;
  std::size_t count = intervals_s_.size();
  intervals_s_.resize(count + values.size());
  sizes_.resize(count + values.size());
  double changed_s = *changed_s_;
  float last = last_;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double time_s = times_s[i];
    const float value = values[i];
    const bool moved = value != last;
    intervals_s_[count] = static_cast<float>(time_s - changed_s);
    sizes_[count] = std::abs(value - last);
    count += moved && time_s > changed_s ? 1U : 0U;
    changed_s = moved ? time_s : changed_s;
    last = value;
  }
  intervals_s_.resize(count);
  sizes_.resize(count);
  changed_s_ = changed_s;
  known_ += values.size();
  last_ = last;
  last_s_ = times_s.back();
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
