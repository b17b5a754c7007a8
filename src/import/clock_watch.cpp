// SPDX-License-Identifier: Apache-2.0
// The slow road of the clock: everything but a usual step forward.
#include "import/clock_watch.hpp"

#include "import/clock_units.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr double k_least_hole_s = 30.0;
constexpr double k_periods_of_hole = 10.0;
/// As where a trip ends (`SegmentOptions::trip_gap_s`).
constexpr double k_trip_gap_s = 1800.0;
/// A counter this near to 0 has just begun.
constexpr double k_beginning_s = 2.0;
constexpr double k_periods_back = 3.0;
/// Rows for each time from which on a person should know that the clock is coarse.
constexpr double k_coarse_rows = 1.5;
/// From this many leaps on, and this share of all steps, the clock's unit is in doubt.
constexpr std::size_t k_leaps = 10;
constexpr double k_share_of_leaps = 0.5;
/// From this many rows out of place on, and this share of all, a log is not in the order of time: a
/// log of restarts alone would have trips of twenty rows.
constexpr std::size_t k_rows_out_of_place = 10;
constexpr double k_share_out_of_place = 0.05;

bool about_an_hour(double size_s) { return std::abs(size_s - k_hour_s) <= k_out_of_order_s; }

/// Where in its round a clock stands that goes from 0 to `wrap_s`, also when it counts below 0.
double place_in_round(double clock_s, double wrap_s) {
  return clock_s - std::floor(clock_s / wrap_s) * wrap_s;
}

} // namespace

ClockWatch::ClockWatch(const ClockTraits& traits)
    : kind_(traits.kind), period_s_(traits.period_s), wraps_s_(traits.wraps_s),
      hole_s_(std::max(k_periods_of_hole * traits.period_s, k_least_hole_s)) {}

bool ClockWatch::see_usual(std::span<const double> clock_s) {
  if (clock_s.empty()) return true;
  const auto unusual = [this](double step_s) {
    return step_s > 0.0 && step_s <= usual_step_s_ ? 0U : 1U;
  };
  unsigned odd = unusual(clock_s[0] + added_s_ - now_s_);
  for (std::size_t i = 1; i < clock_s.size(); ++i)
    odd += unusual((clock_s[i] + added_s_) - (clock_s[i - 1] + added_s_));
  if (odd > 0) return false;
  now_s_ = clock_s.back() + added_s_;
  steps_ += clock_s.size();
  return true;
}

TimeFate ClockWatch::see_odd(double clock_s, RowMap::Place at) {
  const double now_s = clock_s + added_s_;
  if (usual_step_s_ < 0.0) {
    usual_step_s_ = std::min(hole_s_, k_trip_gap_s);
    now_s_ = now_s;
    return TimeFate::keep;
  }
  if (now_s == now_s_) {
    count(same_time, at, 0.0);
    return TimeFate::keep;
  }
  return now_s < now_s_ ? step_back(clock_s, at) : step_forward(now_s, added_s_, at);
}

TimeFate ClockWatch::step_back(double clock_s, RowMap::Place at) {
  const double now_s = clock_s + added_s_;
  const double back_s = now_s_ - now_s;
  if (const double wrap_s = wrap_over(clock_s); wrap_s > 0.0) {
    const TimeFate fate = step_forward(now_s + wrap_s, added_s_ + wrap_s, at);
    if (fate == TimeFate::keep) count(roll_over, at, wrap_s);
    return fate;
  }
  if (back_s < k_out_of_order_s && !started_again(clock_s, back_s)) {
    ++aside_;
    return TimeFate::aside;
  }
  return hold(now_s, added_s_, at);
}

TimeFate ClockWatch::step_forward(double now_s, double added_s, RowMap::Place at) {
  const double step_s = now_s - now_s_;
  if (step_s > k_trip_gap_s) return hold(now_s, added_s, at);
  if (step_s > hole_s_) count(hole, at, step_s);
  now_s_ = now_s;
  added_s_ = added_s;
  ++steps_;
  return TimeFate::keep;
}

TimeFate ClockWatch::hold(double now_s, double added_s, RowMap::Place at) {
  held_s_ = now_s;
  held_added_s_ = added_s;
  held_at_ = at;
  return TimeFate::hold;
}

bool ClockWatch::settle_held(double clock_s) {
  const double after_s = clock_s + added_s_ - now_s_;
  const double from_held_s = std::abs(clock_s + held_added_s_ - held_s_);
  const bool back_again = after_s > -k_out_of_order_s && after_s <= hole_s_;
  if (back_again && std::abs(after_s) < from_held_s) {
    ++aside_;
    return false;
  }
  keep_held();
  return true;
}

void ClockWatch::keep_held() {
  const double step_s = held_s_ - now_s_;
  const bool an_hour = is_local() && about_an_hour(std::abs(step_s));
  if (held_added_s_ != added_s_) count(roll_over, held_at_, held_added_s_ - added_s_);
  if (step_s < 0.0)
    count(an_hour ? set_back_an_hour : set_back, held_at_, -step_s);
  else
    count(an_hour ? leap_an_hour : leap, held_at_, step_s);
  now_s_ = held_s_;
  added_s_ = held_added_s_;
  ++steps_;
}

/// The length of the round that the clock has ended, or 0.
double ClockWatch::wrap_over(double clock_s) const {
  const double last_s = now_s_ - added_s_;
  for (const double wrap_s : wraps_s_) {
    if (wrap_s == k_day_s && kind_ == ClockKind::clock_of_day) {
      if (last_s - clock_s > wrap_s / 2) return wrap_s;
      continue;
    }
    const double near_s = std::min(std::max(k_periods_of_hole * period_s_, 5.0), wrap_s / 16);
    const bool in_round = std::abs(last_s) <= wrap_s && std::abs(clock_s) <= wrap_s;
    if (in_round && place_in_round(last_s, wrap_s) >= wrap_s - near_s &&
        place_in_round(clock_s, wrap_s) <= near_s) {
      return wrap_s;
    }
  }
  return 0.0;
}

/// A log that runs backwards is seen with negative times, so the beginning may be on either side.
bool ClockWatch::started_again(double clock_s, double back_s) const {
  if (kind_ != ClockKind::elapsed) return false;
  const double nearest_s = std::min(std::abs(clock_s), std::abs(now_s_ - added_s_));
  return nearest_s <= std::max(k_beginning_s, period_s_) && back_s > k_periods_back * period_s_;
}

void ClockWatch::count(Event event, RowMap::Place at, double size_s) {
  Count& entry = counts_[event];
  if (entry.count++ == 0) entry.first = at;
  entry.longest_s = std::max(entry.longest_s, size_s);
}

std::string ClockWatch::reason(Event event) const {
  const std::string longest = format_duration(counts_[event].longest_s);
  switch (event) {
  case same_time: return "same time as the row before (kept)";
  case roll_over: return fmt::format("clock starts again at 0 after {} (time goes on)", longest);
  case set_back: return fmt::format("clock set back, by up to {} (a new trip starts)", longest);
  case set_back_an_hour:
    return "clock set back by an hour, as at the end of daylight saving time (a new trip starts)";
  case hole:
    return fmt::format("hole of more than {}, up to {} (nothing is filled in)",
                       format_duration(hole_s_), longest);
  case leap: return fmt::format("pause or leap ahead, up to {} (a new trip starts)", longest);
  case leap_an_hour:
    return "pause or leap ahead by an hour, as at the start of daylight saving time (a new trip "
           "starts)";
  }
  return {};
}

std::vector<SetAside> ClockWatch::events() const {
  std::vector<SetAside> events;
  for (std::size_t i = 0; i < k_events; ++i) {
    const Count& entry = counts_[i];
    if (entry.count == 0) continue;
    events.push_back(
        {reason(static_cast<Event>(i)), entry.count, entry.first.row, entry.first.line});
  }
  return events;
}

std::vector<std::string> ClockWatch::notes() const {
  std::vector<std::string> notes;
  const std::size_t same = counts_[same_time].count;
  if (same > 0 && steps_ == 0) {
    notes.emplace_back("WARNING: the clock never advances: every row has the same time, so nothing "
                       "that takes time can be judged");
    return notes;
  }
  const std::size_t rows = 1 + steps_ + same + aside_;
  const std::size_t out_of_place = aside_ + counts_[set_back].count;
  if (out_of_place >= k_rows_out_of_place &&
      static_cast<double>(out_of_place) >= k_share_out_of_place * static_cast<double>(rows)) {
    notes.push_back(fmt::format(
        "WARNING: the rows do not stand in the order of time ({} of {} are out of place): sort the "
        "log by its time and read it again",
        out_of_place, rows));
  }
  const std::size_t leaps = counts_[leap].count;
  if (leaps >= k_leaps &&
      static_cast<double>(leaps) >= k_share_of_leaps * static_cast<double>(steps_))
    notes.push_back(fmt::format("WARNING: the clock leaps ahead by more than half an hour in {} of "
                                "{} steps: its unit may be "
                                "another one; state it, e.g. --column time=HEADING:ms",
                                leaps, steps_));
  const double rows_a_time = 1.0 + static_cast<double>(same) / (1.0 + static_cast<double>(steps_));
  if (rows_a_time >= k_coarse_rows) {
    notes.push_back(fmt::format("rows come faster than the clock counts: about {:.3g} rows to each "
                                "time; they are kept in their order",
                                rows_a_time));
  }
  return notes;
}

} // namespace coolband
