// SPDX-License-Identifier: Apache-2.0
// Amounts in coolband's own units, with the user's own in brackets behind them.
#include "report/amounts.hpp"

#include <fmt/core.h>

#include <cmath>

namespace coolband {

namespace {

bool is_own(const Unit& unit) { return unit.scale == 1.0 && unit.offset == 0.0; }

std::string fixed(double value, int digits) {
  std::string text = fmt::format("{:.{}f}", value, digits);
  const bool zero = text.find_first_not_of("-0.") == std::string::npos;
  return zero && text.front() == '-' ? text.substr(1) : text;
}

std::string both(double own, int digits, std::string_view own_unit, const std::optional<Unit>& unit,
                 int unit_digits) {
  std::string text = fmt::format("{} {}", fixed(own, digits), own_unit);
  if (!unit) return text;
  return fmt::format("{} ({} {})", text, fixed((own - unit->offset) / unit->scale, unit_digits),
                     unit->name);
}

/// Places behind the point that show as much as `digits` of the own unit do.
int digits_like(const std::optional<Unit>& unit, int digits) {
  if (!unit) return digits;
  for (double scale = unit->scale; scale >= 3.0; scale /= 10.0) ++digits;
  for (double scale = unit->scale; scale < 0.03; scale *= 10.0) --digits;
  return digits < 0 ? 0 : digits;
}

} // namespace

std::string Amounts::celsius(double own) const { return both(own, 1, "°C", temperature, 1); }

std::string Amounts::kelvins(double own) const {
  std::optional<Unit> difference = temperature;
  if (difference) difference->offset = 0.0;
  // Kelvin is a unit of differences already.
  if (difference && difference->scale == 1.0) difference.reset();
  return both(own, 1, "K", difference, 1);
}

std::string Amounts::kilopascals(double own) const {
  const int digits = own > 0.0 && own < 10.0 ? 1 : 0;
  return both(own, digits, "kPa", pressure, digits_like(pressure, 0));
}

std::string Amounts::metres(double own) const {
  return both(own, 0, "m", length, digits_like(length, 0));
}

std::string Amounts::litres(double own) const {
  return both(own, 2, "L", volume, digits_like(volume, 2));
}

void show_also(Amounts& amounts, const Unit& unit) {
  if (is_own(unit)) return;
  switch (unit.quantity) {
  case Quantity::temperature: amounts.temperature = unit; return;
  case Quantity::pressure: amounts.pressure = unit; return;
  case Quantity::length: amounts.length = unit; return;
  case Quantity::volume: amounts.volume = unit; return;
  default: return;
  }
}

void complete(Amounts& amounts) {
  const auto named = [](const std::optional<Unit>& unit, std::string_view name) {
    return unit && unit->name.substr(0, name.size()) == name;
  };
  if (!named(amounts.temperature, "°F") && !named(amounts.pressure, "psi") &&
      !named(amounts.length, "ft") && !named(amounts.volume, "US "))
    return;
  if (!amounts.temperature) amounts.temperature = unit_named("F");
  if (!amounts.pressure) amounts.pressure = unit_named("psi");
  if (!amounts.length) amounts.length = unit_named("ft");
  if (!amounts.volume) amounts.volume = unit_named("US qt");
}

} // namespace coolband
