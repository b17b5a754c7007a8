// SPDX-License-Identifier: Apache-2.0
// Falls and rises are counted from turn to turn, small ones left out, as fatigue cycles are.
#include "diagnose/may_have_idled.hpp"

#include "diagnose/deviations.hpp"
#include "diagnose/logged.hpp"

#include <algorithm>
#include <vector>

namespace coolband {

namespace {

/// A turn counts when the reading has moved this far back, K, beside a step of the reading.
constexpr double k_turn_k = 1.0;
/// Heater and block take up to 7.5 kW more than an engine makes that idles or is pushed along, from
/// 150 kJ/K and more of metal and coolant (common practice, no source).
constexpr double k_fastest_fall_k_per_min = 3.0;
constexpr double k_fall_over_s = 120.0;

struct Reading {
  double time_s = 0.0; ///< middle of the block
  double coolant_c = 0.0;
};

/// From where the reading was last within the band, or from the trip's start, to the episode's end.
std::vector<Reading> course_of(const Episode& episode, const Blocks& blocks) {
  const double within_c = episode.expected_c.value_or(0.0) - episode.threshold_c;
  std::vector<Reading> course;
  for (std::size_t i = 0; i < blocks.size() && blocks.start_s[i] < episode.end_s; ++i) {
    const auto coolant = known(blocks.coolant[i]);
    if (!coolant) continue;
    if (blocks.start_s[i] < episode.start_s && *coolant >= within_c) course.clear();
    course.push_back({0.5 * (blocks.start_s[i] + blocks.end_s[i]), *coolant});
  }
  return course;
}

/// Whether the reading falls back after a rise, by more than `turn_k`.
bool falls_again(const std::vector<Reading>& course, double turn_k) {
  double lowest_c = course.front().coolant_c;
  double highest_c = -1e9; // since it began to rise
  bool rises = false;
  for (const Reading& reading : course) {
    if (!rises) {
      lowest_c = std::min(lowest_c, reading.coolant_c);
      if (reading.coolant_c <= lowest_c + turn_k) continue;
      rises = true;
    }
    highest_c = std::max(highest_c, reading.coolant_c);
    if (reading.coolant_c < highest_c - turn_k) return true;
  }
  return false;
}

/// K/min, over two minutes or the rows next to that.
double fastest_fall(const std::vector<Reading>& course) {
  double fastest = 0.0;
  std::size_t first = 0;
  for (std::size_t last = 0; last < course.size(); ++last) {
    while (first + 1 < last && course[last].time_s - course[first + 1].time_s >= k_fall_over_s)
      ++first;
    const double over_s = course[last].time_s - course[first].time_s;
    if (over_s < k_fall_over_s) continue;
    fastest = std::max(fastest, 60.0 * (course[first].coolant_c - course[last].coolant_c) / over_s);
  }
  return fastest;
}

} // namespace

bool may_have_idled(const Episode& episode, const Trip& trip) {
  if (!running_unknown(trip.blocks)) return false;
  const std::vector<Reading> course = course_of(episode, trip.blocks);
  if (course.empty()) return false;
  return !falls_again(course, k_turn_k + trip.resolution_c) &&
         fastest_fall(course) <= k_fastest_fall_k_per_min;
}

} // namespace coolband
