// SPDX-License-Identifier: Apache-2.0
// One pass over the coolant column: each reading against the last one that was believed.
#include "coolband/condition/condition.hpp"

#include <cmath>

namespace coolband {

namespace {

/// Follows the coolant column and decides, row by row, whether the reading can be coolant.
class ReadingJudge {
 public:
  ReadingJudge(const ConditionOptions& options, std::vector<SensorEvent>& events)
      : options_(options), events_(events) {}

  Quality next(std::size_t row, double time_s, double reading_c) {
    if (std::isnan(reading_c)) return Quality::missing;
    if (time_s < last_time_s_) known_ = false; // the clock was reset: another drive
    if (known_ && time_s - seen_s_ > options_.settle_s) stale_until_s_ = time_s + options_.stale_s;
    seen_s_ = time_s;
    const Quality kind = classify(time_s, reading_c);
    if (kind == Quality::good) return accept(time_s, reading_c);
    note(kind, row, time_s, reading_c);
    return kind;
  }

 private:
  Quality classify(double time_s, double reading_c) {
    if (reading_c < options_.lowest_c || reading_c > options_.highest_c) return Quality::off_scale;
    if (!known_ || time_s <= stale_until_s_) return Quality::good;
    if (within(last_c_, last_time_s_, reading_c, time_s)) return Quality::good;
    return settled(time_s, reading_c) ? Quality::good : Quality::jump;
  }

  [[nodiscard]] bool within(double from_c, double from_s, double to_c, double to_s) const {
    return std::abs(to_c - from_c) <= options_.step_c + options_.rate_c_per_s * (to_s - from_s);
  }

  /// True once readings beyond a jump have kept together for settle_s: the new level is real.
  bool settled(double time_s, double reading_c) {
    if (!candidate_ || !within(candidate_c_, candidate_last_s_, reading_c, time_s)) {
      candidate_ = true;
      candidate_since_s_ = time_s;
    }
    candidate_c_ = reading_c;
    candidate_last_s_ = time_s;
    return time_s - candidate_since_s_ >= options_.settle_s;
  }

  Quality accept(double time_s, double reading_c) {
    known_ = true;
    candidate_ = false;
    open_event_ = false;
    last_c_ = reading_c;
    last_time_s_ = time_s;
    return Quality::good;
  }

  void note(Quality kind, std::size_t row, double time_s, double reading_c) {
    if (!known_) last_time_s_ = time_s;
    if (!open_event_ || events_.back().kind != kind) {
      events_.push_back({kind, row, row, known_ ? last_c_ : std::nan(""), reading_c});
      open_event_ = true;
      return;
    }
    SensorEvent& event = events_.back();
    event.last_row = row;
    if (std::abs(reading_c - event.from_c) > std::abs(event.to_c - event.from_c)) {
      event.to_c = reading_c;
    }
  }

  const ConditionOptions& options_;
  std::vector<SensorEvent>& events_;
  bool known_ = false;
  bool candidate_ = false;
  bool open_event_ = false;
  double last_c_ = 0.0;
  double last_time_s_ = 0.0;
  double seen_s_ = 0.0; ///< last row with any reading
  double stale_until_s_ = -1.0;
  double candidate_c_ = 0.0;
  double candidate_last_s_ = 0.0;
  double candidate_since_s_ = 0.0;
};

struct Range {
  float low;
  float high;
};

Range range_of(Role role) {
  switch (role) {
  case Role::ambient: return {-39.5F, 65.0F}; // -40 is the code of an open circuit
  case Role::intake: return {-60.0F, 200.0F};
  case Role::load: return {0.0F, 150.0F};
  case Role::rpm: return {0.0F, 12000.0F};
  case Role::speed: return {0.0F, 350.0F};
  case Role::throttle:
  case Role::fan: return {0.0F, 100.0F};
  case Role::oil: return {-60.0F, 200.0F};
  case Role::altitude: return {-500.0F, 9000.0F};
  default: return {-1e30F, 1e30F};
  }
}

} // namespace

bool plausible(Role role, float value) {
  const Range range = range_of(role);
  return value >= range.low && value <= range.high; // false for NaN
}

Conditioned condition(const Recording& recording, const ConditionOptions& options) {
  Conditioned result;
  result.coolant.reserve(recording.size());
  ReadingJudge judge(options, result.events);
  const auto& coolant = recording.column(Role::coolant);
  for (std::size_t row = 0; row < recording.size(); ++row) {
    result.coolant.push_back(
        judge.next(row, recording.time_s[row], static_cast<double>(coolant[row])));
  }
  for (std::size_t r = 0; r < k_role_count; ++r) {
    for (const float value : recording.values[r]) {
      const bool bad = !std::isnan(value) && !plausible(static_cast<Role>(r), value);
      result.implausible[r] += bad ? 1U : 0U;
    }
  }
  return result;
}

} // namespace coolband
