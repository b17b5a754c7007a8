// SPDX-License-Identifier: Apache-2.0
// The spellings of units, in one table.
#include "coolband/core/units.hpp"

#include <algorithm>
#include <array>
#include <string>

namespace coolband {

namespace {

struct Spelling {
  std::string_view text; ///< lower case, without blanks and degree signs
  Unit unit;
};

constexpr Unit k_celsius{Quantity::temperature, "°C", 1.0, 0.0};
constexpr Unit k_fahrenheit{Quantity::temperature, "°F", 1.0 / 1.8, -32.0 / 1.8};
constexpr Unit k_kelvin{Quantity::temperature, "K", 1.0, -273.15};
constexpr Unit k_kmh{Quantity::speed, "km/h", 1.0, 0.0};
constexpr Unit k_mph{Quantity::speed, "mph", 1.609344, 0.0}; // 1 mile = 1609.344 m exactly
constexpr Unit k_ms{Quantity::speed, "m/s", 3.6, 0.0};
constexpr Unit k_knot{Quantity::speed, "kn", 1.852, 0.0};
constexpr Unit k_percent{Quantity::ratio, "%", 1.0, 0.0};
constexpr Unit k_rpm{Quantity::rotation, "rpm", 1.0, 0.0};
constexpr Unit k_metre{Quantity::length, "m", 1.0, 0.0};
constexpr Unit k_foot{Quantity::length, "ft", 0.3048, 0.0};
constexpr Unit k_second{Quantity::time, "s", 1.0, 0.0};
constexpr Unit k_minute{Quantity::time, "min", 60.0, 0.0};
constexpr Unit k_hour{Quantity::time, "h", 3600.0, 0.0};
constexpr Unit k_millisecond{Quantity::time, "ms", 1e-3, 0.0};
constexpr Unit k_microsecond{Quantity::time, "µs", 1e-6, 0.0};
constexpr Unit k_nanosecond{Quantity::time, "ns", 1e-9, 0.0};
constexpr Unit k_kpa{Quantity::pressure, "kPa", 1.0, 0.0};
constexpr Unit k_bar{Quantity::pressure, "bar", 100.0, 0.0};
constexpr Unit k_psi{Quantity::pressure, "psi", 6.894757293168, 0.0};
constexpr Unit k_litre{Quantity::volume, "L", 1.0, 0.0};

constexpr auto k_spellings = std::to_array<Spelling>({
    {"c", k_celsius},
    {"degc", k_celsius},
    {"celsius", k_celsius},
    {"cel", k_celsius},
    {"degcelsius", k_celsius},
    {"deg.c", k_celsius},
    {"f", k_fahrenheit},
    {"degf", k_fahrenheit},
    {"fahrenheit", k_fahrenheit},
    {"deg.f", k_fahrenheit},
    {"k", k_kelvin},
    {"kelvin", k_kelvin},
    {"degk", k_kelvin},
    {"km/h", k_kmh},
    {"kmh", k_kmh},
    {"kph", k_kmh},
    {"kmph", k_kmh},
    {"km/hr", k_kmh},
    {"kmhr", k_kmh},
    {"mph", k_mph},
    {"mi/h", k_mph},
    {"miles/h", k_mph},
    {"m/s", k_ms},
    {"mps", k_ms},
    {"mpersec", k_ms},
    {"kn", k_knot},
    {"knots", k_knot},
    {"%", k_percent},
    {"pct", k_percent},
    {"percent", k_percent},
    {"prozent", k_percent},
    {"rpm", k_rpm},
    {"1/min", k_rpm},
    {"/min", k_rpm},
    {"min-1", k_rpm},
    {"min^-1", k_rpm},
    {"u/min", k_rpm},
    {"r/min", k_rpm},
    {"rev/min", k_rpm},
    {"tr/min", k_rpm},
    {"m", k_metre},
    {"metre", k_metre},
    {"metres", k_metre},
    {"meter", k_metre},
    {"meters", k_metre},
    {"ft", k_foot},
    {"feet", k_foot},
    {"s", k_second},
    {"sec", k_second},
    {"secs", k_second},
    {"second", k_second},
    {"seconds", k_second},
    {"min", k_minute},
    {"mins", k_minute},
    {"minute", k_minute},
    {"minutes", k_minute},
    {"h", k_hour},
    {"hr", k_hour},
    {"hrs", k_hour},
    {"hour", k_hour},
    {"hours", k_hour},
    {"ms", k_millisecond},
    {"msec", k_millisecond},
    {"millis", k_millisecond},
    {"milliseconds", k_millisecond},
    {"us", k_microsecond},
    {"µs", k_microsecond},
    {"usec", k_microsecond},
    {"microseconds", k_microsecond},
    {"ns", k_nanosecond},
    {"nanoseconds", k_nanosecond},
    {"kpa", k_kpa},
    {"bar", k_bar},
    {"psi", k_psi},
    {"l", k_litre},
    {"litre", k_litre},
    {"litres", k_litre},
    {"liter", k_litre},
});

void erase_all(std::string& text, std::string_view part) {
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part)) {
    text.erase(at, part.size());
  }
}

std::string folded(std::string_view spelling) {
  std::string text;
  for (char c : spelling) {
    if (c == ' ' || c == '\t' || c == '"') continue;
    text += (c >= 'A' && c <= 'Z') ? static_cast<char>(c - 'A' + 'a') : c;
  }
  erase_all(text, "\xC3\x82\xC2\xB0"); // a degree sign encoded twice
  erase_all(text, "\xC2\xB0");         // °
  erase_all(text, "\xC2\xBA");         // º, often typed for °
  erase_all(text, "\xB0");             // ° in Latin-1
  return text;
}

} // namespace

std::optional<Unit> unit_named(std::string_view spelling) {
  const std::string text = folded(spelling);
  const auto* found = std::find_if(k_spellings.begin(), k_spellings.end(),
                                   [&](const auto& s) { return s.text == text; });
  if (found == k_spellings.end()) return std::nullopt;
  return found->unit;
}

std::optional<Unit> unit_named(std::string_view spelling, Quantity quantity) {
  auto unit = unit_named(spelling);
  if (unit && unit->quantity != quantity) return std::nullopt;
  return unit;
}

} // namespace coolband
