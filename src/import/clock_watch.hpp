// SPDX-License-Identifier: Apache-2.0
// The one place that decides for every row whether its time can be used, and counts what it saw.
#pragma once

#include "coolband/core/timestamp.hpp"
#include "coolband/import/recording.hpp"

#include <array>
#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace coolband {

/// What is to be done with a row.
enum class TimeFate {
  keep,
  aside, ///< it lies before the row in front of it
  hold,  ///< put it by: the next row decides, see `ClockWatch::settle_held`
};

/// What is known of a clock before its rows are read.
struct ClockTraits {
  ClockKind kind = ClockKind::elapsed;
  double period_s = 0.0;       ///< 0: not known
  std::vector<double> wraps_s; ///< after these the clock starts again at 0
};

/// The rules, for a step from the row before:
/// - none: kept, counted;
/// - forward up to `hole_s`, the larger of 10 periods and 30 s: kept; beyond it a hole, counted;
/// - forward by more than 30 min, and back by 60 s or more: held. When the next row lies nearer to
///   the row in front of the held one (no more than 60 s before it, `hole_s` behind it), the held
///   row alone is wrong and is set aside. Else the clock was set or rested: a new trip, counted;
/// - back by less than 60 s: set aside; but a counter that comes back to 0 by more than 3 periods
///   started again, and is held as above;
/// - back, where one of `wraps_s` makes a small step forward of it: the clock rolled over. A day
///   may be rolled over with any step back of more than 12 hours, the others only from just before
///   their end to just behind their start.
/// A first row cannot be doubted, nor can a last one that was held: both are kept. Local clocks
/// that step by an hour, as at the ends of daylight saving time, follow the same rules and are
/// counted apart.
class ClockWatch {
 public:
  explicit ClockWatch(const ClockTraits& traits);

  /// `clock_s`: finite, on the log's clock, growing where time does. `at`: for the first of its
  /// kind. Not to be called while a row is held.
  TimeFate see(double clock_s, RowMap::Place at) {
    const double now_s = clock_s + added_s_;
    const double step_s = now_s - now_s_;
    if (step_s > 0.0 && step_s <= usual_step_s_) {
      now_s_ = now_s;
      ++steps_;
      return TimeFate::keep;
    }
    return see_odd(clock_s, at);
  }
  /// True when `see` is sure to say keep: no step back, no hole. Never before the first row.
  [[nodiscard]] bool is_usual(double clock_s) const {
    const double step_s = clock_s + added_s_ - now_s_;
    return step_s >= 0.0 && step_s <= usual_step_s_;
  }
  /// Sees many rows at once, if each steps forward as usual; else it sees none and gives false. Not
  /// to be called while a row is held, nor before the first row.
  bool see_usual(std::span<const double> clock_s);
  /// Time of the last row kept, with the roll-overs added, in s on the log's clock.
  [[nodiscard]] double now_s() const { return now_s_; }
  /// The roll-overs in it.
  [[nodiscard]] double added_s() const { return added_s_; }
  /// Says whether the held row is kept, now that the next has `clock_s`; to be called before it is
  /// seen. When kept, `now_s` is the held row's.
  bool settle_held(double clock_s);
  /// The held row is the last one: it is kept.
  void keep_held();

  /// What was counted, in the words of `HowRead::clock_events`.
  [[nodiscard]] std::vector<SetAside> events() const;
  /// What a person must know of the clock as a whole.
  [[nodiscard]] std::vector<std::string> notes() const;

 private:
  enum Event { same_time, roll_over, set_back, set_back_an_hour, hole, leap, leap_an_hour };
  static constexpr std::size_t k_events = 7;
  struct Count {
    std::size_t count = 0;
    RowMap::Place first;
    double longest_s = 0.0;
  };

  TimeFate see_odd(double clock_s, RowMap::Place at);
  TimeFate step_back(double clock_s, RowMap::Place at);
  TimeFate step_forward(double now_s, double added_s, RowMap::Place at);
  TimeFate hold(double now_s, double added_s, RowMap::Place at);
  [[nodiscard]] double wrap_over(double clock_s) const;
  [[nodiscard]] bool started_again(double clock_s, double back_s) const;
  /// The clock of a place, which daylight saving time sets.
  [[nodiscard]] bool is_local() const {
    return kind_ == ClockKind::clock_of_day || kind_ == ClockKind::date_time;
  }
  void count(Event event, RowMap::Place at, double size_s);
  [[nodiscard]] std::string reason(Event event) const;

  ClockKind kind_;
  double period_s_;
  std::vector<double> wraps_s_;
  double hole_s_;
  double usual_step_s_ = -1.0; ///< below 0 until the first row
  double now_s_ = 0.0;
  double added_s_ = 0.0;
  double held_s_ = 0.0;
  double held_added_s_ = 0.0;
  RowMap::Place held_at_;
  std::size_t steps_ = 0; ///< rows with a later time than the one before
  std::size_t aside_ = 0;
  std::array<Count, k_events> counts_;
};

} // namespace coolband
