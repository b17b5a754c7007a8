// SPDX-License-Identifier: Apache-2.0
// Rows by integers: a number is rounded once and its digits are written from the right, which is
// several times as fast as formatting a double.
#include "report/simulated_log.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <string_view>
#include <utility>

namespace coolband {

namespace {

constexpr int k_most_decimals = 4;
constexpr std::array<double, k_most_decimals + 1> k_power{1.0, 10.0, 100.0, 1000.0, 10000.0};
constexpr long k_day_s = 86400;
constexpr double k_largest = 9e15; // whole numbers beyond are not exact in a double

constexpr Unit k_celsius{Quantity::temperature, "°C", 1.0, 0.0};

/// Digits of `value`, at least `width`, ending at `end`; where they begin.
char* put_digits(char* end, std::uint64_t value, int width) {
  do {
    *--end = static_cast<char>('0' + value % 10);
    value /= 10;
    --width;
  } while (value > 0 || width > 0);
  return end;
}

void add_number(std::string& text, double value, int decimals) {
  const double scaled = std::floor(value * k_power[static_cast<std::size_t>(decimals)] + 0.5);
  const auto whole = static_cast<std::int64_t>(std::clamp(scaled, -k_largest, k_largest));
  std::array<char, 32> space{};
  char* const end = space.data() + space.size();
  char* begin = end;
  auto digits = static_cast<std::uint64_t>(whole < 0 ? -whole : whole);
  if (decimals > 0) {
    const auto power = static_cast<std::uint64_t>(k_power[static_cast<std::size_t>(decimals)]);
    begin = put_digits(begin, digits % power, decimals);
    *--begin = '.';
    digits /= power;
  }
  begin = put_digits(begin, digits, 1);
  if (whole < 0) *--begin = '-';
  text.append(begin, static_cast<std::size_t>(end - begin));
}

void add_two_digits(std::string& text, long value) {
  text += static_cast<char>('0' + value / 10);
  text += static_cast<char>('0' + value % 10);
}

/// The fewest decimals that write every multiple of `step` exactly; 0: nothing is rounded, so two.
int decimals_for(double step) {
  if (step <= 0.0) return 2;
  for (int decimals = 0; decimals < k_most_decimals; ++decimals) {
    const double scaled = step * k_power[static_cast<std::size_t>(decimals)];
    if (std::abs(scaled - std::round(scaled)) < 1e-6) return decimals;
  }
  return k_most_decimals;
}

/// Decimals of a reading that goes in steps of `step_c`, in another unit of temperature.
int temperature_decimals(const Unit& unit, double step_c) {
  if (step_c <= 0.0) return 2;
  const int of_steps = decimals_for(step_c / unit.scale);
  const double zero = std::abs(unit.offset / unit.scale);
  return zero > 0.0 ? std::max(of_steps, decimals_for(zero)) : of_steps;
}

/// As fine as whole numbers of coolband's own unit, about.
int plain_decimals(const Unit& unit) {
  return std::clamp(static_cast<int>(std::lround(std::log10(unit.scale))), 0, k_most_decimals);
}

struct Known {
  Role role;
  std::string_view name;
  double (*value)(const SimulatedRow&);
};

constexpr auto k_known = std::to_array<Known>({
    {Role::coolant, "coolant", [](const SimulatedRow& row) { return row.coolant_c; }},
    {Role::ambient, "ambient", [](const SimulatedRow& row) { return row.ambient_c; }},
    {Role::load, "load", [](const SimulatedRow& row) { return row.load_pct; }},
    {Role::rpm, "rpm", [](const SimulatedRow& row) { return row.rpm; }},
    {Role::speed, "speed", [](const SimulatedRow& row) { return row.speed_kmh; }},
    {Role::altitude, "altitude", [](const SimulatedRow& row) { return row.altitude_m; }},
    {Role::fan, "fan_on", [](const SimulatedRow& row) { return row.fan_on ? 1.0 : 0.0; }},
});

struct Truth {
  std::string_view heading; ///< a temperature's without its unit
  int decimals;
  double (*value)(const SimulatedRow&);
};

constexpr auto k_true_temperatures = std::to_array<Truth>({
    {"true_coolant", 2, [](const SimulatedRow& row) { return row.truth.coolant_c; }},
    {"true_block", 2, [](const SimulatedRow& row) { return row.truth.block_c; }},
    {"true_radiator", 2, [](const SimulatedRow& row) { return row.truth.radiator_c; }},
    {"true_wax", 2, [](const SimulatedRow& row) { return row.truth.wax_c; }},
});

constexpr auto k_true_rest = std::to_array<Truth>({
    {"true_valve_lift", 3, [](const SimulatedRow& row) { return row.truth.lift; }},
    {"true_fan_grip", 3, [](const SimulatedRow& row) { return row.truth.fan; }},
    {"true_engine_heat_kw", 3, [](const SimulatedRow& row) { return row.flows.from_engine; }},
    {"true_radiator_heat_kw", 3, [](const SimulatedRow& row) { return row.flows.to_radiator_air; }},
    {"true_surface_heat_kw", 3, [](const SimulatedRow& row) { return row.flows.to_surroundings; }},
    {"true_cabin_heat_kw", 3, [](const SimulatedRow& row) { return row.flows.to_cabin; }},
    {"true_boiled_heat_kw", 3, [](const SimulatedRow& row) { return row.flows.boiled; }},
    {"true_boiled_l", 3, [](const SimulatedRow& row) { return row.truth.boiled_l; }},
    {"true_fault_active", 0, [](const SimulatedRow& row) { return row.fault_active ? 1.0 : 0.0; }},
});

const Known& known_column(Role role) {
  return *std::find_if(k_known.begin(), k_known.end() - 1,
                       [&](const Known& k) { return k.role == role; });
}

constexpr auto k_suffixes = std::to_array<std::pair<std::string_view, std::string_view>>({
    {"°C", "c"},
    {"°F", "f"},
    {"K", "k"},
    {"%", "pct"},
    {"rpm", ""},
    {"km/h", "kmh"},
    {"mph", "mph"},
    {"m/s", "mps"},
    {"kn", "kn"},
    {"m", "m"},
    {"ft", "ft"},
});

} // namespace

std::vector<Role> simulated_roles() {
  std::vector<Role> roles;
  roles.reserve(k_known.size());
  for (const Known& column : k_known) roles.push_back(column.role);
  return roles;
}

Unit metric_unit(Role role) {
  switch (role) {
  case Role::coolant:
  case Role::ambient: return k_celsius;
  case Role::load: return *unit_named("%");
  case Role::rpm: return *unit_named("rpm");
  case Role::speed: return *unit_named("km/h");
  case Role::altitude: return *unit_named("m");
  default: return {};
  }
}

Unit us_unit(Role role) {
  switch (role) {
  case Role::coolant:
  case Role::ambient: return *unit_named("°F");
  case Role::speed: return *unit_named("mph");
  case Role::altitude: return *unit_named("ft");
  default: return metric_unit(role);
  }
}

std::optional<std::string> unit_suffix(const Unit& unit) {
  for (const auto& [name, suffix] : k_suffixes) {
    if (name == unit.name) return std::string(suffix);
  }
  return std::nullopt;
}

SimulatedLog::SimulatedLog(const LogShape& shape) : format_(shape.format), clock_(shape.clock) {
  time_decimals_ = decimals_for(shape.logging.period_s);
  const std::string time = clock_ ? "timestamp" : "time_s";
  headings_ = time;
  time_key_ = "{\"" + time + "\":";
  Unit temperature = k_celsius;
  for (const LogColumn& column : shape.columns) {
    if (column.role == Role::coolant) temperature = column.unit;
    add_column(column, shape.logging);
  }
  if (shape.truth) add_truth(temperature);
}

void SimulatedLog::add_field(const std::string& heading, Field field) {
  headings_ += "," + heading;
  field.before = format_ == SimulatedFormat::csv ? "," : ",\"" + heading + "\":";
  fields_.push_back(std::move(field));
}

void SimulatedLog::add_column(const LogColumn& column, const Logging& logging) {
  const Known& what = known_column(column.role);
  const Unit& unit = column.unit;
  const std::string suffix = unit_suffix(unit).value_or("");
  int decimals = plain_decimals(unit);
  if (column.role == Role::coolant)
    decimals = temperature_decimals(unit, logging.sensor.resolution_c);
  if (column.role == Role::ambient)
    decimals = temperature_decimals(unit, logging.ambient_resolution_c);
  add_field(std::string(what.name) + (suffix.empty() ? "" : "_" + suffix),
            {{}, what.value, 1.0 / unit.scale, -unit.offset / unit.scale, decimals});
}

void SimulatedLog::add_truth(const Unit& temperature) {
  for (const Truth& truth : k_true_temperatures) {
    add_field(std::string(truth.heading) + "_" + unit_suffix(temperature).value_or("c"),
              {{},
               truth.value,
               1.0 / temperature.scale,
               -temperature.offset / temperature.scale,
               truth.decimals});
  }
  for (const Truth& truth : k_true_rest)
    add_field(std::string(truth.heading), {{}, truth.value, 1.0, 0.0, truth.decimals});
}

void SimulatedLog::begin(std::string& text) const {
  if (format_ == SimulatedFormat::csv) text += headings_ + "\n";
  if (format_ == SimulatedFormat::json_array) text += "[";
}

void SimulatedLog::add_time(double time_s, std::string& text) {
  if (!clock_) return add_number(text, time_s, time_decimals_);
  // Half seconds are exact, so that nothing is lost by going to tenths.
  const auto tenths = std::llround((clock_->start_s + time_s) * 10.0);
  const long second = tenths / 10;
  const long day = second / k_day_s;
  if (day != day_) {
    day_ = day;
    day_text_ = format_instant({ClockKind::date_time, 0.0, 0}, static_cast<double>(day * k_day_s));
    day_text_.resize(day_text_.find('T') + 1);
  }
  const long of_day = second - day * k_day_s;
  const bool json = format_ != SimulatedFormat::csv;
  if (json) text += '"';
  text += day_text_;
  add_two_digits(text, of_day / 3600);
  text += ':';
  add_two_digits(text, of_day / 60 % 60);
  text += ':';
  add_two_digits(text, of_day % 60);
  if (time_decimals_ > 0) {
    text += '.';
    text += static_cast<char>('0' + tenths % 10);
  }
  if (json) text += '"';
}

void SimulatedLog::add(const SimulatedRow& row, std::string& text) {
  const bool csv = format_ == SimulatedFormat::csv;
  if (format_ == SimulatedFormat::json_array) text += first_ ? "\n" : ",\n";
  first_ = false;
  if (!csv) text += time_key_;
  add_time(row.time_s, text);
  for (const Field& field : fields_) {
    text += field.before;
    const double value = field.value(row) * field.scale + field.offset;
    if (std::isfinite(value))
      add_number(text, value, field.decimals);
    else if (!csv)
      text += "null";
  }
  if (!csv) text += '}';
  if (format_ != SimulatedFormat::json_array) text += '\n';
}

void SimulatedLog::end(std::string& text) const {
  if (format_ == SimulatedFormat::json_array) text += first_ ? "]\n" : "\n]\n";
}

} // namespace coolband
