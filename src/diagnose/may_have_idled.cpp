// SPDX-License-Identifier: Apache-2.0
// Falls and rises are counted from turn to turn, small ones left out, as fatigue cycles are.
#include "diagnose/may_have_idled.hpp"

#include "diagnose/deviations.hpp"
#include "diagnose/logged.hpp"
#include "diagnose/usual_dips.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

namespace coolband {

namespace {

/// A turn counts when the reading has moved this far back, K, beside a step of the reading.
constexpr double k_turn_k = 1.0;
/// Heater and block take up to 7.5 kW more than an engine makes that idles or is pushed along, from
/// 150 kJ/K and more of metal and coolant (common practice, no source).
constexpr double k_fastest_fall_k_per_min = 3.0;
constexpr double k_fall_over_s = 120.0;
/// A warm engine that stands switched off loses 0.3 to 1.5 K/min, having stood for one to four
/// hours when it has lost two thirds of what it was above the air (common practice, no source).
constexpr double k_standing_s = 900.0;
constexpr double k_slowest_stand_k_per_min = 0.25;
constexpr double k_stand_over_s = 300.0;
/// The thermostat has taken over once the reading is this close below the level, K (TM
/// 5-3825-229-14&P: within 3 °C of nominal).
constexpr double k_arrival_k = 3.0;

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

/// Every stretch of a course over `least_s`, or the rows next to that: `see` gets its length, s,
/// and by how much the reading fell, K.
template <class See>
void each_fall(const std::vector<Reading>& course, double least_s, See see) {
  std::size_t first = 0;
  for (std::size_t last = 0; last < course.size(); ++last) {
    while (first + 1 < last && course[last].time_s - course[first + 1].time_s >= least_s) ++first;
    const double over_s = course[last].time_s - course[first].time_s;
    if (over_s >= least_s) see(over_s, course[first].coolant_c - course[last].coolant_c);
  }
}

/// K/min, over two minutes.
double fastest_fall(const std::vector<Reading>& course) {
  double fastest = 0.0;
  each_fall(course, k_fall_over_s, [&](double over_s, double fallen_k) {
    fastest = std::max(fastest, 60.0 * fallen_k / over_s);
  });
  return fastest;
}

/// The fall from the highest reading of the stretch, or of what led into it, for as long as it goes
/// on.
std::vector<Reading> fall_of(const Episode& episode, const Blocks& blocks, double turn_k) {
  std::optional<std::size_t> highest;
  for (std::size_t i = 0; i < blocks.size() && blocks.start_s[i] < episode.end_s; ++i) {
    const float coolant = blocks.coolant[i];
    if (std::isnan(coolant) || blocks.end_s[i] < episode.start_s - k_standing_s) continue;
    if (!highest || coolant >= blocks.coolant[*highest]) highest = i;
  }
  std::vector<Reading> fall;
  double lowest_c = 1e9;
  for (std::size_t i = highest.value_or(blocks.size()); i < blocks.size(); ++i) {
    const auto coolant = known(blocks.coolant[i]);
    if (!coolant) continue;
    if (*coolant > lowest_c + turn_k) break;
    lowest_c = std::min(lowest_c, *coolant);
    fall.push_back({0.5 * (blocks.start_s[i] + blocks.end_s[i]), *coolant});
  }
  while (!fall.empty() && fall.back().coolant_c > lowest_c) fall.pop_back();
  return fall;
}

/// From well below the level, where a sound valve is shut: what reaches the reading as a valve
/// first opens is no matter.
bool falls_as_no_shut_valve_lets_it(const Episode& episode, const Blocks& blocks,
                                    const NormalBand& band) {
  std::vector<Reading> course = course_of(episode, blocks);
  const double shut_c = shut_below_c(band);
  std::erase_if(course, [&](const Reading& reading) { return reading.coolant_c > shut_c; });
  return fastest_fall(course) > k_fastest_fall_k_per_min;
}

} // namespace

bool may_have_stood(const Episode& episode, const Trip& trip) {
  if (!running_unknown(trip.blocks)) return false;
  const std::vector<Reading> fall = fall_of(episode, trip.blocks, k_turn_k + trip.resolution_c);
  if (fall.empty() || fall.back().time_s - fall.front().time_s < k_standing_s) return false;
  // Over so long that even the slowest fall turns a step of the reading over.
  const double step_k = trip.resolution_c;
  const double least_s =
      std::max(k_stand_over_s, 60.0 * step_k / k_slowest_stand_k_per_min + k_fall_over_s);
  bool steady = true;
  each_fall(fall, least_s, [&](double over_s, double fallen_k) {
    const double minutes = over_s / 60.0;
    steady = steady && fallen_k >= k_slowest_stand_k_per_min * minutes - step_k &&
             fallen_k <= k_fastest_stand_k_per_min * minutes + step_k;
  });
  return steady;
}

bool warmed_up_late(const Episode& episode, const Trip& trip, const NormalBand& band) {
  const Blocks& blocks = trip.blocks;
  if (falls_as_no_shut_valve_lets_it(episode, blocks, band)) return false;
  const double arrived_c = band.centre_c - k_arrival_k;
  const double left_c = band.centre_c - band.half_width_c - episode.threshold_c;
  double since_s = 0.0; // the warm-up that leads into the stretch
  for (const WarmUp& warm_up : trip.warm_ups) {
    if (warm_up.start_s <= episode.start_s) since_s = warm_up.start_s;
  }
  std::optional<double> arrived_s;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const auto coolant = known(blocks.coolant[i]);
    if (!coolant || blocks.start_s[i] < since_s) continue;
    if (arrived_s && *coolant < left_c) return false;
    if (!arrived_s && *coolant >= arrived_c) arrived_s = blocks.start_s[i];
  }
  return arrived_s && *arrived_s >= 0.5 * (episode.start_s + episode.end_s);
}

bool may_have_idled(const Episode& episode, const Trip& trip) {
  if (!running_unknown(trip.blocks)) return false;
  const std::vector<Reading> course = course_of(episode, trip.blocks);
  if (course.empty()) return false;
  return !falls_again(course, k_turn_k + trip.resolution_c) &&
         fastest_fall(course) <= k_fastest_fall_k_per_min;
}

} // namespace coolband
