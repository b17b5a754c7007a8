// SPDX-License-Identifier: Apache-2.0
// One pass over the rows: each coolant reading against the last one that was believed, the other
// columns against what they can mean.
#include "coolband/condition/condition.hpp"

#include "condition/log_unit.hpp"
#include "condition/row_window.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <span>

namespace coolband {

namespace {

/// Follows the coolant column and decides, row by row, whether the reading can be coolant.
class ReadingJudge {
 public:
  ReadingJudge(const ConditionOptions& options, std::string_view unit,
               std::vector<SensorEvent>& events)
      : options_(options), events_(events), fahrenheit_(unit == "°F"), kelvin_(unit == "K"),
        sure_below_c_(options.rate_c_per_s >= 0.0
                          ? std::min(options.highest_c, k_lowest_code_within_c)
                          : options.lowest_c) {}

  Quality next(std::size_t row, double time_s, double reading_c) {
    return goes_on(time_s, reading_c) ? Quality::good : look_at(row, time_s, reading_c);
  }

 private:
  /// What nearly every reading is, with nothing to settle: near the good one before, and no code.
  bool goes_on(double time_s, double reading_c) {
    if (!led_up_ || !(time_s >= last_time_s_) || !(time_s - seen_s_ <= options_.settle_s) ||
        !(reading_c >= options_.lowest_c && reading_c < sure_below_c_) ||
        !(std::abs(reading_c - last_c_) <= options_.step_c))
      return false;
    seen_s_ = time_s;
    last_c_ = reading_c;
    last_time_s_ = time_s;
    return true;
  }

  Quality look_at(std::size_t row, double time_s, double reading_c) {
    if (std::isnan(reading_c)) return Quality::missing;
    if (time_s < last_time_s_) known_ = false; // the clock was reset: another drive
    if (known_ && time_s - seen_s_ > options_.settle_s) stale_until_s_ = time_s + options_.stale_s;
    seen_s_ = time_s;
    const Quality kind = classify(time_s, reading_c);
    led_up_ = kind == Quality::good;
    if (kind == Quality::good) return accept(time_s, reading_c);
    note(kind, row, time_s, reading_c);
    return kind;
  }

  Quality classify(double time_s, double reading_c) {
    if (reading_c < options_.lowest_c || reading_c > options_.highest_c) return Quality::off_scale;
    if (may_be_code(reading_c) && !reached(time_s, reading_c)) return Quality::off_scale;
    if (!known_ || time_s <= stale_until_s_) return Quality::good;
    if (within(last_c_, last_time_s_, reading_c, time_s)) return Quality::good;
    return settled(time_s, reading_c) ? Quality::good : Quality::jump;
  }

  [[nodiscard]] bool within(double from_c, double from_s, double to_c, double to_s) const {
    return std::abs(to_c - from_c) <= options_.step_c + options_.rate_c_per_s * (to_s - from_s);
  }

  /// The ends of a signed byte and of an unsigned one that was never scaled: as degrees they are
  /// also temperatures of a boiling engine.
  [[nodiscard]] bool may_be_code(double reading_c) const {
    if (kelvin_) return false;
    if (!fahrenheit_) return reading_c == 127.0 || reading_c == 128.0;
    return reading_c > 123.0 && reading_c < 124.0 &&
           oddity_of(Role::coolant, static_cast<float>(reading_c), "°F") != Oddity::out_of_range;
  }

  [[nodiscard]] bool reached(double time_s, double reading_c) const {
    return known_ && led_up_ &&
           std::abs(reading_c - last_c_) <=
               options_.step_c + options_.engine_rate_c_per_s * (time_s - last_time_s_);
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
  bool fahrenheit_;
  bool kelvin_;
  /// Codes within the range of readings begin there at the lowest, °C (`may_be_code`).
  static constexpr double k_lowest_code_within_c = 123.0;
  double sure_below_c_;
  bool known_ = false;
  bool led_up_ = false; ///< the last reading was good: it is known, and nothing is open
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

ValueRange range_of(Role role) {
  switch (role) {
  case Role::ambient: return {-39.5F, 65.0F}; // -40 is the code of an open circuit
  case Role::intake:
  case Role::oil: return {-39.5F, 200.0F};
  case Role::load: return {0.0F, 150.0F};
  case Role::rpm: return {0.0F, 12000.0F};
  case Role::speed: return {0.0F, 350.0F};
  case Role::throttle:
  case Role::fan: return {0.0F, 100.0F};
  case Role::altitude: return {-500.0F, 9000.0F};
  default: return {};
  }
}

/// Where a column's codes begin though it might read that much, and how near below them it must
/// have been seen for them to be readings.
struct CodesWithin {
  float from;
  float seen_from;
};

CodesWithin codes_within(Role role) {
  if (role == Role::speed) return {254.0F, 230.0F};
  if (role == Role::rpm) return {8128.0F, 7000.0F};
  return {1e30F, 1e30F};
}

/// What of one column cannot be believed, to be settled once all of it was seen.
class RangeWatch {
 public:
  explicit RangeWatch(Role role)
      : role_(role), range_(range_of(role)), codes_(codes_within(role)) {}

  void add(const std::vector<float>& values) {
    // Counts of their own, as wide as the values: several go at a time.
    std::uint32_t outside = 0;
    std::uint32_t high = 0;
    const ValueRange range = range_;
    for (const float value : values) {
      outside += value < range.low ? 1U : 0U; // false for NaN
      outside += value > range.high ? 1U : 0U;
      high += value >= codes_.seen_from ? 1U : 0U;
    }
    outside_ += outside;
    if (high > 0) look_closer(values);
  }

  void settle(Conditioned& result) const {
    const auto index = static_cast<std::size_t>(role_);
    result.believable[index] = range_;
    result.implausible[index] = outside_;
    if (within_codes_ == 0 || seen_below_) return;
    result.believable[index].high = std::nextafter(codes_.from, 0.0F);
    result.implausible[index] += within_codes_;
  }
  [[nodiscard]] Role role() const { return role_; }

 private:
  void look_closer(const std::vector<float>& values) {
    for (const float value : values) {
      if (value >= codes_.seen_from && value < codes_.from) seen_below_ = true;
      if (value >= codes_.from && value <= range_.high) ++within_codes_;
    }
  }

  Role role_;
  ValueRange range_;
  CodesWithin codes_;
  std::size_t outside_ = 0;
  std::size_t within_codes_ = 0;
  bool seen_below_ = false;
};

} // namespace

bool plausible(Role role, float value) {
  const ValueRange range = range_of(role);
  return value >= range.low && value <= range.high; // false for NaN
}

Conditioned condition(const Recording& recording, const ConditionOptions& options) {
  Conditioned result;
  result.coolant.reserve(recording.size());
  ReadingJudge judge(options, unit_of(recording, Role::coolant), result.events);
  std::vector<RangeWatch> watches;
  std::vector<Role> roles = {Role::coolant};
  for (std::size_t r = 0; r < k_role_count; ++r) {
    const auto role = static_cast<Role>(r);
    result.believable[r] = range_of(role);
    if (role == Role::coolant || !recording.has(role)) continue;
    watches.emplace_back(role);
    roles.push_back(role);
  }
  RowWindow window(recording, roles);
  for (std::size_t from = 0; from < recording.size(); from += Column::k_chunk_rows) {
    window.move_to(from);
    const std::size_t to = std::min(recording.size(), from + Column::k_chunk_rows);
    const std::span<const double> times_s = window.times(from, to);
    const std::span<const float> coolant_c = window.values(Role::coolant, from, to);
    for (std::size_t row = from; row < to; ++row) {
      result.coolant.push_back(
          judge.next(row, times_s[row - from], static_cast<double>(coolant_c[row - from])));
    }
    for (RangeWatch& watch : watches) watch.add(window.values(watch.role()));
  }
  for (const RangeWatch& watch : watches) watch.settle(result);
  return result;
}

} // namespace coolband
