// SPDX-License-Identifier: Apache-2.0
// Splitting the unit off a heading, in all the ways in which people write it.
#include "import/heading.hpp"

#include "import/number_text.hpp"
#include "import/time_form.hpp"

#include <array>
#include <string>
#include <vector>

namespace coolband {

namespace {

constexpr Unit k_fraction{Quantity::ratio, "fraction", 100.0, 0.0};

struct Split {
  std::vector<std::string> words;
  std::string unit;
};

std::string joined(const std::vector<std::string>& words, std::size_t from) {
  std::string text;
  for (std::size_t i = from; i < words.size(); ++i) text += words[i];
  return text;
}

/// "degrees C" and "deg fahrenheit" as the table of units spells them.
std::optional<Unit> unit_of(std::string_view spelling) {
  std::string text(trimmed(spelling));
  for (const std::string_view prefix :
       {"degrees", "degree", "Degrees", "Degree", "deg", "Deg", "in "}) {
    if (!std::string_view(text).starts_with(prefix)) continue;
    if (const auto unit = unit_named(std::string_view(text).substr(prefix.size()))) return unit;
  }
  if (same_text(text, "fraction") || same_text(text, "0-1") || same_text(text, "0..1") ||
      same_text(text, "ratio")) {
    return k_fraction;
  }
  return unit_named(text);
}

Quantity quantity_of(const Sense& sense) {
  switch (sense.meaning) {
  case Meaning::role: return coolband::quantity_of(sense.role);
  case Meaning::bare: return Quantity::temperature;
  case Meaning::date:
  case Meaning::weather: break;
  }
  return Quantity::none;
}

/// The ways to take a unit off the end of a text without brackets, surest first.
std::vector<Split> splits_of(std::string_view text) {
  std::vector<Split> splits;
  const auto words = words_of(text);
  const auto try_text = [&](std::size_t at) {
    if (at != std::string_view::npos && at > 0 && unit_of(text.substr(at + 1))) {
      splits.push_back({words_of(text.substr(0, at)), std::string(text.substr(at + 1))});
    }
  };
  const auto try_words = [&](std::size_t count) {
    if (words.size() <= count) return;
    const std::string unit = joined(words, words.size() - count);
    if (unit_of(unit))
      splits.push_back({{words.begin(), words.end() - static_cast<long>(count)}, unit});
  };
  try_text(text.find_last_of(" _,;-"));
  try_words(2);
  try_words(1);
  try_text(text.find_last_of('/'));
  splits.push_back({words, {}});
  return splits;
}

/// Takes the last bracket off `text`; its content goes to `inside`.
bool peel_bracket(std::string& text, std::string& inside) {
  text = trimmed(text);
  if (text.empty()) return false;
  const char close = text.back();
  if (close != ')' && close != ']' && close != '}') return false;
  const char open = close == ')' ? '(' : close == ']' ? '[' : '{';
  const std::size_t at = text.rfind(open);
  if (at == std::string::npos || at == 0) return false;
  inside = trimmed(std::string_view(text).substr(at + 1, text.size() - at - 2));
  text = trimmed(std::string_view(text).substr(0, at));
  return true;
}

/// "(PID 05)", "(SPN 110)", "(0x05)": where the value was read, not what it is.
bool is_address(std::string_view inside) {
  const auto words = words_of(inside);
  if (words.empty()) return true;
  return words[0] == "pid" || words[0] == "spn" || words[0] == "pgn" ||
         inside.find_first_not_of("0123456789xXabcdefABCDEF") == std::string_view::npos;
}

std::optional<HeadingReading> match(const std::vector<std::string>& words,
                                    std::string_view unit_text, const Vocabulary& known) {
  const auto sense = known.sense_of(words);
  if (!sense) return std::nullopt;
  if (unit_text.empty()) return HeadingReading{*sense, {}};
  const auto unit = unit_of(unit_text);
  if (!unit || unit->quantity != quantity_of(*sense)) return std::nullopt;
  return HeadingReading{*sense, unit};
}

bool agree(const Sense& a, const Sense& b) { return a.meaning == b.meaning && a.role == b.role; }

/// A remark in brackets joins the words ("Temperature (coolant)") or says the same again
/// ("Engine Coolant Temperature (ECT)"); anything else contradicts.
std::optional<HeadingReading> match_remark(std::string_view text, std::string_view remark,
                                           std::string_view unit, const Vocabulary& known) {
  const auto base = words_of(text);
  auto more = words_of(remark);
  const auto alone = known.sense_of(more);
  auto front = more;
  front.insert(front.end(), base.begin(), base.end());
  if (auto found = match(front, unit, known)) return found;
  more.insert(more.begin(), base.begin(), base.end());
  if (auto found = match(more, unit, known)) return found;
  auto found = match(base, unit, known);
  if (!found || !alone) return std::nullopt;
  if (agree(found->sense, *alone)) return found;
  if (found->sense.meaning == Meaning::bare && alone->meaning == Meaning::role &&
      coolband::quantity_of(alone->role) == Quantity::temperature) {
    return HeadingReading{*alone, found->unit};
  }
  return std::nullopt;
}

} // namespace

Quantity quantity_of(Role role) {
  switch (role) {
  case Role::time: return Quantity::time;
  case Role::coolant:
  case Role::ambient:
  case Role::intake:
  case Role::oil: return Quantity::temperature;
  case Role::load:
  case Role::throttle:
  case Role::fan: return Quantity::ratio;
  case Role::rpm: return Quantity::rotation;
  case Role::speed: return Quantity::speed;
  case Role::altitude: return Quantity::length;
  case Role::heater:
  case Role::trip:
  case Role::vehicle:
  case Role::signal:
  case Role::value:
  case Role::unit:
  case Role::identifier:
  case Role::frame: break;
  }
  return Quantity::none;
}

std::string_view own_unit(Role role) {
  switch (quantity_of(role)) {
  case Quantity::temperature: return "°C";
  case Quantity::ratio: return "%";
  case Quantity::rotation: return "rpm";
  case Quantity::speed: return "km/h";
  case Quantity::length: return "m";
  default: return "";
  }
}

std::optional<Unit> unit_for(Role role, std::string_view spelling) {
  auto unit = unit_of(spelling);
  if (unit && unit->quantity != quantity_of(role)) return std::nullopt;
  return unit;
}

std::optional<HeadingReading> read_heading(std::string_view heading, const Vocabulary& known) {
  std::string text = without_time_form(trimmed(heading));
  std::string inside;
  std::string unit;
  std::string remark;
  while (peel_bracket(text, inside)) {
    if (unit.empty() && unit_of(inside))
      unit = inside;
    else if (!is_address(inside))
      remark.insert(0, inside + " ");
  }
  if (!remark.empty()) return match_remark(text, remark, unit, known);
  if (!unit.empty()) return match(words_of(text), unit, known);
  for (const Split& split : splits_of(text)) {
    if (auto found = match(split.words, split.unit, known)) return found;
  }
  return std::nullopt;
}

} // namespace coolband
