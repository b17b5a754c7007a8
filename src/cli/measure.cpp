// SPDX-License-Identifier: Apache-2.0
// Numbers with a unit behind them, as a user types them.
#include "cli/measure.hpp"

#include <charconv>
#include <cmath>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

std::string_view noun_of(Quantity quantity) {
  switch (quantity) {
  case Quantity::temperature: return "a temperature";
  case Quantity::pressure: return "a pressure";
  case Quantity::length: return "an altitude";
  case Quantity::volume: return "a volume";
  case Quantity::ratio: return "a percentage";
  default: return "that";
  }
}

Error wrong(const MeasureRule& rule, const std::string& text, const std::string& what,
            const std::string& remedy) {
  return {ErrorKind::usage,
          {},
          fmt::format("{} '{}': {}", rule.option, text, what),
          {},
          remedy.empty() ? fmt::format("write e.g. {}", rule.examples) : remedy};
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

/// "1,500" is 1500 to some and 1.5 to others.
Error comma(const MeasureRule& rule, const std::string& text) {
  return wrong(rule, text, "a comma in a number may mean two things",
               "write a decimal point, and no mark between thousands");
}

Error out_of_range(const MeasureRule& rule, const std::string& text, const Measure& measure) {
  const std::string_view own = own_unit(rule.quantity);
  const std::string read = measure.unit && measure.unit->name != own
                               ? fmt::format("{:.6g} {} is not", measure.own, own)
                               : std::string("not");
  std::string remedy =
      measure.unit || rule.quantity == Quantity::ratio
          ? ""
          : fmt::format("a number without a unit is in {}; write e.g. {}", own, rule.examples);
  if (!rule.beyond.empty()) remedy = rule.beyond;
  return wrong(rule, text,
               fmt::format("{} between {:g} and {:g} {}", read, rule.low, rule.high, own), remedy);
}

} // namespace

std::string_view own_unit(Quantity quantity) {
  switch (quantity) {
  case Quantity::temperature: return "°C";
  case Quantity::pressure: return "kPa";
  case Quantity::length: return "m";
  case Quantity::volume: return "L";
  case Quantity::ratio: return "%";
  default: return "";
  }
}

Result<Measure> parse_measure(const std::string& text, const MeasureRule& rule) {
  std::string_view rest = trimmed(text);
  if (rest.size() > 1 && rest[0] == '+' && rest[1] != '-') rest.remove_prefix(1);
  double value = 0.0;
  const auto [end, code] = std::from_chars(rest.data(), rest.data() + rest.size(), value);
  if (code != std::errc() || !std::isfinite(value))
    return wrong(rule, text, "this is no number", "");
  rest = trimmed(rest.substr(static_cast<std::size_t>(end - rest.data())));
  if (!rest.empty() && rest.front() == ',') return comma(rule, text);
  Measure measure{value, std::nullopt};
  if (!rest.empty()) {
    measure.unit = unit_named(rest);
    if (!measure.unit) return wrong(rule, text, fmt::format("there is no unit '{}'", rest), "");
    if (measure.unit->quantity != rule.quantity)
      return wrong(
          rule, text,
          fmt::format("{} is not measured in {}", noun_of(rule.quantity), measure.unit->name), "");
    measure.own = measure.unit->to_own(value);
  }
  if (!(measure.own >= rule.low && measure.own <= rule.high))
    return out_of_range(rule, text, measure);
  return measure;
}

} // namespace coolband::cli
