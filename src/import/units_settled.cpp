// SPDX-License-Identifier: Apache-2.0
// Plausibility of whole columns: no engine's coolant spends its time at 200 °C, and none at 190 K.
#include "import/units_settled.hpp"

#include "import/heading.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include <fmt/core.h>

namespace coolband {

namespace {

// Raw 95th percentiles of coolant that tell the unit (common practice, no source): a warm engine is
// at 75 to 120 °C, which is 167 to 248 °F and 348 to 393 K.
constexpr int k_fahrenheit_from = 150;
constexpr int k_fahrenheit_to = 260;
constexpr int k_kelvin_from = 300;
constexpr int k_kelvin_to = 420;
// From here to `k_fahrenheit_from` coolant in °C is about to boil, and in °F it is cool.
constexpr int k_doubtful_from = 115;
// Below, an engine that never got warm in °C and one in °F look alike.
constexpr int k_warm_from = 70;
// The plateau of a regulated engine in °C, read as °F, would be an engine that runs at 24 to 46 °C.
constexpr int k_plateau_from = 75;
constexpr int k_plateau_to = 115;
constexpr int k_plateau_width = 12;
constexpr int k_plateau_rise = 30;
constexpr double k_plateau_s = 600.0;
// The load of a running engine spreads over more than this share of its full range.
constexpr float k_fraction_spread = 0.05F;
// Full scale, with room for rounding; SAE J1939 lets load at current speed reach 125 % (from
// memory); a raw byte ends at 255.
constexpr float k_most_percent = 102.0F;
constexpr float k_most_load = 125.0F;
constexpr float k_most_byte = 255.0F;
// No engine runs at fewer revolutions a minute than this, and none at more a second.
constexpr float k_slowest_rpm = 150.0F;
constexpr float k_slowest_per_s = 5.0F;

// Air in the shade stays below (common practice; the records are a little above), unless a sensor
// stands in the sun or before the radiator.
constexpr float k_hottest_air_c = 50.0F;
// A warm-up takes minutes; as fast as this none can (common practice, no source).
constexpr float k_cold_c = 40.0F;
constexpr float k_warm_c = 70.0F;
constexpr double k_fastest_warm_up_s = 20.0;
// Seen step by step, not as a jump of the reading.
constexpr float k_smooth_step_k = 12.0F;

/// More values than this say nothing new about a unit: of longer logs every n-th row is looked at.
constexpr std::size_t k_rows_looked_at = 50'000;
/// Rows further apart than this are cheaper one by one than with all of their chunk.
constexpr std::size_t k_step_by_chunk = 8;

/// One pass over the values that are known, each with its row.
template <class See>
void each_value(const Column& column, See see) {
  const std::size_t step = column.size() / k_rows_looked_at + 1;
  if (step > k_step_by_chunk) {
    for (std::size_t row = 0; row < column.size(); row += step) {
      if (const float value = column[row]; !std::isnan(value)) see(row, value);
    }
    return;
  }
  std::vector<float> values;
  for (std::size_t row = 0; row < column.size();) {
    const std::size_t chunk = row / Column::k_chunk_rows;
    const std::size_t first = chunk * Column::k_chunk_rows;
    column.read_chunk(chunk, values);
    for (; row < first + values.size(); row += step) {
      if (const float value = values[row - first]; !std::isnan(value)) see(row, value);
    }
  }
}

/// The same of the values as the log has them, before any unit.
template <class See>
void each_raw_value(const Column& column, const std::optional<Unit>& unit, See see) {
  const double scale = unit ? 1.0 / unit->scale : 1.0;
  const double offset = unit ? -unit->offset : 0.0;
  each_value(column, [&](std::size_t, float value) {
    see(static_cast<float>((static_cast<double>(value) + offset) * scale));
  });
}

struct Range {
  float low = std::numeric_limits<float>::infinity();
  float high = -std::numeric_limits<float>::infinity();
  bool between = false; ///< some value lies between 0 and 1

  void add(float value) {
    low = std::min(low, value);
    high = std::max(high, value);
    between |= value > 0.0F && value < 1.0F;
  }
  /// In several lanes: one after the other each comparison waits for the one before. NaN is passed
  /// over.
  void add(std::span<const float> values) {
    constexpr std::size_t k_lanes = 8;
    std::array<float, k_lanes> lows;
    std::array<float, k_lanes> highs;
    lows.fill(low);
    highs.fill(high);
    std::uint32_t inside = 0;
    for (const float value : values) inside += value > 0.0F && value < 1.0F ? 1U : 0U;
    std::size_t i = 0;
    for (; i + k_lanes <= values.size(); i += k_lanes) {
      for (std::size_t k = 0; k < k_lanes; ++k) {
        lows[k] = values[i + k] < lows[k] ? values[i + k] : lows[k];
        highs[k] = values[i + k] > highs[k] ? values[i + k] : highs[k];
      }
    }
    low = *std::min_element(lows.begin(), lows.end());
    high = *std::max_element(highs.begin(), highs.end());
    between |= inside > 0;
    for (; i < values.size(); ++i) add(values[i]);
  }
  /// Fractions of 1: nothing above 1, and more than an idle flag's worth of variation between.
  [[nodiscard]] bool is_fraction() const {
    return between && low >= 0.0F && high <= 1.0F && high - low > k_fraction_spread;
  }
  /// Thousands of revolutions a minute: idle below 1, and no engine turns as slowly.
  [[nodiscard]] bool is_thousands() const {
    return between && low >= 0.0F && high > 1.0F && high <= k_slowest_per_s;
  }
};

/// As the log has them, before any unit: all of a short column, some rows of a long one.
void add_range(Range& range, const Column& column, const std::optional<Unit>& unit) {
  if (column.size() >= k_rows_looked_at)
    return each_raw_value(column, unit, [&](float value) { range.add(value); });
  const double scale = unit ? 1.0 / unit->scale : 1.0;
  const double offset = unit ? -unit->offset : 0.0;
  std::vector<float> values;
  for (std::size_t row = 0; row < column.size(); row += values.size()) {
    column.read_chunk(row / Column::k_chunk_rows, values);
    for (float& value : values)
      value = static_cast<float>((static_cast<double>(value) + offset) * scale);
    range.add(values);
  }
}

/// Counts by whole degrees.
class Histogram {
 public:
  void add(float value) {
    const float place = std::clamp(value, k_low, k_high) - k_low;
    ++counts_[static_cast<std::size_t>(place)];
    ++total_;
  }
  [[nodiscard]] std::size_t total() const { return total_; }
  /// The degree below which a share of the values lies.
  [[nodiscard]] int quantile(double share) const {
    const auto wanted = static_cast<std::size_t>(share * static_cast<double>(total_));
    std::size_t seen = 0;
    for (std::size_t i = 0; i < counts_.size(); ++i) {
      seen += counts_[i];
      if (seen > wanted) return static_cast<int>(i) + static_cast<int>(k_low);
    }
    return static_cast<int>(k_high);
  }

 private:
  static constexpr float k_low = -100.0F;
  static constexpr float k_high = 500.0F;
  std::array<std::size_t, 601> counts_{};
  std::size_t total_ = 0;
};

/// What the values of a whole log tell; nothing where °C is as good as anything.
std::optional<Unit> temperature_from(const Histogram& raw) {
  if (raw.total() == 0) return std::nullopt;
  const int high = raw.quantile(0.95);
  if (high >= k_fahrenheit_from && high <= k_fahrenheit_to) return unit_named("degF");
  if (high >= k_kelvin_from && high <= k_kelvin_to) return unit_named("K");
  return std::nullopt;
}

class Settler {
 public:
  Settler(Recording& recording, const TableHead& head, const ColumnPlan& plan)
      : recording_(recording), head_(head), plan_(plan) {}

  void run() {
    if (plan_.of(Role::coolant)) look_at_coolant();
    for (std::size_t i = 0; i < k_role_count; ++i) settle(static_cast<Role>(i));
    for (const Role role : {Role::load, Role::throttle, Role::fan}) doubt_ratio(role);
    doubt_rpm();
    doubt_ambient();
    if (plan_.of(Role::coolant) && plan_.of(Role::time)) doubt_time();
  }

 private:
  void look_at_coolant();
  void doubt_coolant(const Unit& stated, const Histogram& raw);
  bool stays_warm_in_celsius(const Histogram& raw) const;
  void settle(Role role);
  ColumnReading assume(Role role);
  std::optional<Unit> told_by_values(Role role);
  std::string why_told(Role role) const;
  std::string doubt_of(Role role) const;
  void doubt_ratio(Role role);
  void doubt_rpm();
  void doubt_ambient();
  void doubt_time();
  std::string heading_of(Role role) const {
    const std::size_t index = plan_.of(role)->index;
    return head_.headings.empty() ? fmt::format("column {}", index + 1) : head_.heading_of(index);
  }
  /// What to type to state the unit.
  std::string option(Role role, std::string_view unit) const {
    const std::string column = head_.headings.empty() ? std::to_string(plan_.of(role)->index + 1)
                                                      : fmt::format("\"{}\"", heading_of(role));
    return fmt::format("--column {}={}:{}", name_of(role), column, unit);
  }
  void note(std::string text) { recording_.how.notes.push_back(std::move(text)); }

  Recording& recording_;
  const TableHead& head_;
  const ColumnPlan& plan_;
  std::optional<Unit> coolant_told_;   ///< by its values, where it has no unit
  std::optional<Unit> coolant_stated_; ///< where that is not °C
  std::string coolant_doubt_;          ///< why its values tell nothing
  std::array<Range, k_role_count> ranges_;
};

void Settler::look_at_coolant() {
  const auto& unit = plan_.of(Role::coolant)->unit;
  Histogram raw;
  each_raw_value(recording_.column(Role::coolant), unit, [&](float v) {
    // The codes of an open or shorted circuit say nothing about the unit.
    if (v != -40.0F && v != 214.0F && v != 215.0F) raw.add(v);
  });
  if (raw.total() == 0) return;
  if (unit) {
    if (unit->name != "°C") coolant_stated_ = unit;
    return doubt_coolant(*unit, raw);
  }
  coolant_told_ = temperature_from(raw);
  if (coolant_told_) return;
  const int high = raw.quantile(0.95);
  if (high >= k_doubtful_from && high < k_fahrenheit_from) {
    note(
        fmt::format("WARNING: coolant has no unit, and its values up to {} would be very hot in °C "
                    "and cool in °F; say {} or {}",
                    high, option(Role::coolant, "degC"), option(Role::coolant, "degF")));
  } else if (high < k_warm_from) {
    coolant_doubt_ = fmt::format("; it never gets warm enough to tell it from °F: if it is, say {}",
                                 option(Role::coolant, "degF"));
  }
}

/// A stated unit is kept, whatever the values look like.
void Settler::doubt_coolant(const Unit& stated, const Histogram& raw) {
  auto told = temperature_from(raw);
  if (!told && stated.name == "K" && raw.quantile(0.95) < k_fahrenheit_from) {
    told = unit_named("degC");
  }
  if (!told && stated.name == "°F" && stays_warm_in_celsius(raw)) told = unit_named("degC");
  if (!told || told->name == stated.name) return;
  const std::string_view spelling = told->name == "K" ? "K" : told->name == "°F" ? "degF" : "degC";
  note(fmt::format(
      "WARNING: \"{}\" is given as {}, but its values look like {}; if they are, say {}",
      heading_of(Role::coolant), stated.name, told->name, option(Role::coolant, spelling)));
}

/// True when the engine got warm and then held, for long, what only makes sense in °C. A short trip
/// in the cold, which is all rise, tells nothing.
bool Settler::stays_warm_in_celsius(const Histogram& raw) const {
  const int high = raw.quantile(0.95);
  const int middle = raw.quantile(0.5);
  const bool plateau = high >= k_plateau_from && high <= k_plateau_to &&
                       high - middle <= k_plateau_width &&
                       high - raw.quantile(0.0) >= k_plateau_rise;
  const auto& times = recording_.time_s;
  if (!plateau || times.size() < 3) return false;
  const std::size_t half = times.size() / 2;
  const double step_s = std::max(0.0, times[half] - times[half - 1]);
  return step_s * static_cast<double>(half) >= k_plateau_s;
}

/// Other temperatures without a unit follow the coolant: one logger, one scale.
std::optional<Unit> Settler::told_by_values(Role role) {
  const Range& range = ranges_[static_cast<std::size_t>(role)];
  switch (quantity_of(role)) {
  case Quantity::temperature: return coolant_told_ ? coolant_told_ : coolant_stated_;
  case Quantity::ratio:
    if (role != Role::fan && range.is_fraction()) return unit_for(role, "fraction");
    break;
  case Quantity::rotation:
    if (range.high > k_slowest_per_s && range.high < k_slowest_rpm) return unit_for(role, "1/s");
    if (range.is_thousands()) return unit_for(role, "1000/min");
    break;
  default: break;
  }
  return std::nullopt;
}

std::string Settler::why_told(Role role) const {
  if (quantity_of(role) != Quantity::temperature || role == Role::coolant) return "by its values";
  return coolant_told_ ? "by the coolant's values" : "like the coolant";
}

/// What the values cannot tell, and how to say it.
std::string Settler::doubt_of(Role role) const {
  switch (role) {
  case Role::coolant: return coolant_doubt_;
  case Role::speed: return fmt::format("; if it is mph, say {}", option(role, "mph"));
  case Role::altitude: return fmt::format("; if it is feet, say {}", option(role, "ft"));
  default: return {};
  }
}

ColumnReading Settler::assume(Role role) {
  ColumnReading reading;
  reading.unit = own_unit(role);
  reading.unit_origin = "assumed";
  const Quantity quantity = quantity_of(role);
  if (const auto told = told_by_values(role)) {
    recording_.column(role).rescale(told->scale, told->offset);
    reading.unit = told->name;
    reading.unit_origin = "values";
    note(fmt::format("{} has no unit: read as {} {}", name_of(role), told->name, why_told(role)));
  } else if (quantity != Quantity::rotation && quantity != Quantity::none) {
    note(fmt::format("{} has no unit: read as {}{}", name_of(role), reading.unit, doubt_of(role)));
  }
  return reading;
}

void Settler::settle(Role role) {
  const auto& use = plan_.of(role);
  if (!use || role == Role::time) return;
  const Quantity quantity = quantity_of(role);
  if (quantity == Quantity::ratio || quantity == Quantity::rotation) {
    Range& range = ranges_[static_cast<std::size_t>(role)];
    add_range(range, recording_.column(role), use->unit);
  }
  ColumnReading reading;
  if (use->unit) {
    reading.unit = use->unit->name;
    reading.unit_origin = use->unit_origin;
  } else if (role != Role::trip && role != Role::vehicle) {
    reading = assume(role);
  }
  reading.role = role;
  reading.heading = heading_of(role);
  reading.column = use->index + 1;
  recording_.how.columns.push_back(std::move(reading));
}

/// Percentages that are none, read as they stand all the same.
void Settler::doubt_ratio(Role role) {
  const auto& use = plan_.of(role);
  if (!use || (use->unit && use->unit->name != "%")) return;
  const Range& range = ranges_[static_cast<std::size_t>(role)];
  const auto reading = read_heading(heading_of(role), vocabulary());
  const bool absolute = role == Role::load && reading && reading->sense.tier == 2;
  if (role == Role::load && use->unit && range.is_fraction()) {
    note(fmt::format("WARNING: \"{}\" is given as %, but its values look like fractions of 1; if "
                     "they are, say {}",
                     heading_of(role), option(role, "fraction")));
  }
  // Absolute load counts from the air without boost: more than 100 % is nothing odd.
  if (absolute || range.high <= k_most_percent) return;
  if (role == Role::load && range.high <= k_most_load) {
    note(fmt::format("load reaches {:g} %, which some engines report", range.high));
  } else if (role != Role::fan && range.high <= k_most_byte) {
    note(fmt::format("WARNING: {} reaches {:g}, which is no percentage; if \"{}\" is a raw byte "
                     "(0 to 255), say {}",
                     name_of(role), range.high, heading_of(role), option(role, "0-255")));
  } else {
    note(fmt::format("WARNING: {} reaches {:g}, which is no percentage; if another column is {}, "
                     "say --column {}=HEADING",
                     name_of(role), range.high, name_of(role), name_of(role)));
  }
}

void Settler::doubt_rpm() {
  const auto& use = plan_.of(Role::rpm);
  if (!use || !use->unit || use->unit->name != "rpm") return;
  const Range& range = ranges_[static_cast<std::size_t>(Role::rpm)];
  const bool per_second = range.high > k_slowest_per_s && range.high < k_slowest_rpm;
  if (!per_second && !range.is_thousands()) return;
  note(fmt::format(
      "WARNING: \"{}\" is given as rpm, but its values look like {}; if they are, say {}",
      heading_of(Role::rpm),
      per_second ? "revolutions a second" : "thousands of revolutions a minute",
      option(Role::rpm, per_second ? "1/s" : "1000/min")));
}

/// Air in °F beside coolant in °C; in the log's own unit nothing else tells.
void Settler::doubt_ambient() {
  const auto& use = plan_.of(Role::ambient);
  if (!use || use->unit || told_by_values(Role::ambient)) return;
  Range range;
  add_range(range, recording_.column(Role::ambient), use->unit);
  if (range.high <= k_hottest_air_c || range.high > k_most_byte) return;
  note(fmt::format("WARNING: the outside temperature has no unit and reaches {:.0f} °C; if it is "
                   "°F, say {}",
                   static_cast<double>(range.high), option(Role::ambient, "degF")));
}

/// What takes an engine minutes cannot take seconds.
void Settler::doubt_time() {
  std::optional<std::size_t> cold; // the row in which it was cold last, without a jump since
  std::optional<double> took_s;
  float before_c = std::nanf("");
  each_value(recording_.column(Role::coolant), [&](std::size_t row, float now_c) {
    if (now_c <= k_cold_c)
      cold = row;
    else if (now_c - before_c > k_smooth_step_k)
      cold.reset();
    before_c = now_c;
    if (took_s || now_c < k_warm_c || !cold) return;
    const double needed_s = recording_.time_s[row] - recording_.time_s[*cold];
    cold.reset();
    if (needed_s >= 0.0 && needed_s <= k_fastest_warm_up_s) took_s = needed_s;
  });
  if (!took_s) return;
  note(fmt::format("WARNING: the coolant warms from {:.0f} to {:.0f} °C within {:.2g} s, which no "
                   "engine does: time may count something else; state its unit, e.g. {}",
                   static_cast<double>(k_cold_c), static_cast<double>(k_warm_c), *took_s,
                   option(Role::time, *took_s < 1.0 ? "s" : "min")));
}

} // namespace

void settle_units(Recording& recording, const TableHead& head, const ColumnPlan& plan) {
  Settler(recording, head, plan).run();
}

} // namespace coolband
