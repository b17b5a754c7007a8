// SPDX-License-Identifier: Apache-2.0
// Splitting the unit off a heading, in all the ways in which people write it.
#include "import/heading.hpp"

#include "import/number_text.hpp"
#include "import/text_fields.hpp"
#include "import/time_form.hpp"

#include <algorithm>
#include <initializer_list>
#include <string>
#include <unordered_map>
#include <vector>

namespace coolband {

namespace {

constexpr Unit k_fraction{Quantity::ratio, "fraction", 100.0, 0.0};
constexpr Unit k_byte{Quantity::ratio, "0-255", 100.0 / 255.0, 0.0};
constexpr Unit k_whole_percent{Quantity::ratio, "%", 1.0, 0.0};

struct Split {
  Words words;
  std::string unit;
};

std::string joined(const Words& words, std::size_t from) {
  std::string text;
  for (std::size_t i = from; i < words.size(); ++i) text += words[i];
  return text;
}

bool is_one_of(std::string_view text, std::initializer_list<std::string_view> list) {
  return std::any_of(list.begin(), list.end(), [&](auto entry) { return same_text(text, entry); });
}

/// "degrees C" and "deg fahrenheit" as the table of units spells them.
std::optional<Unit> unit_of(std::string_view spelling) {
  const std::string_view text = trimmed(spelling);
  if (is_one_of(text, {"fraction", "0-1", "0..1", "0 to 1", "ratio"})) return k_fraction;
  if (is_one_of(text, {"0-255", "0..255", "0 to 255"})) return k_byte;
  if (is_one_of(text, {"0-100", "0..100", "0 to 100", "0-100%", "0-100 %"})) return k_whole_percent;
  for (const std::string_view prefix : {"degrees", "degree", "deg", "in "}) {
    if (text.size() < prefix.size() || !same_text(text.substr(0, prefix.size()), prefix)) continue;
    if (const auto unit = unit_named(text.substr(prefix.size()))) return unit;
  }
  return unit_named(text);
}

Quantity quantity_of(const Sense& sense) {
  switch (sense.meaning) {
  case Meaning::role: return coolband::quantity_of(sense.role);
  case Meaning::bare: return Quantity::temperature;
  case Meaning::date:
  case Meaning::weather:
  case Meaning::other: break;
  }
  return Quantity::none;
}

/// "coolanttempc": the unit's letter grown to the word.
void split_letter(const Words& words, std::vector<Split>& splits) {
  if (words.empty() || words.back().size() < 5) return;
  const std::string_view last = words.back();
  const std::string_view stem = last.substr(0, last.size() - 1);
  if (!stem.ends_with("temp") && !stem.ends_with("temperature")) return;
  if (!unit_named(last.substr(stem.size()), Quantity::temperature)) return;
  splits.push_back({words, std::string(last.substr(stem.size()))});
  splits.back().words.back().pop_back();
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
  for (const std::size_t count : {3U, 2U, 1U}) try_words(count);
  try_text(text.find_last_of('/'));
  split_letter(words, splits);
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

bool is_address_word(std::string_view word) {
  return word == "pid" || word == "spn" || word == "pgn";
}

/// "(PID 05)", "(SPN 110)", "(0x05)": where the value was read, not what it is.
bool is_address(std::string_view inside) {
  const auto words = words_of(inside);
  if (words.empty() || is_address_word(words[0])) return true;
  return inside.find_first_not_of("0123456789xXabcdefABCDEF") == std::string_view::npos &&
         inside.find_first_of("0123456789") != std::string_view::npos;
}

/// "hh:mm:ss", "YYYY-MM-DD", "TT.MM.JJJJ": how a time is written.
bool is_time_pattern(std::string_view inside) {
  return inside.find_first_of(":-/.") != std::string_view::npos &&
         inside.find_first_not_of("hmsydfztjaHMSYDFZTJA:-/. ") == std::string_view::npos;
}

/// "on/off", "hex" and the like: the kind of value, which the cells show by themselves.
bool is_kind_of_value(std::string_view inside) {
  return is_time_pattern(inside) ||
         is_one_of(inside,
                   {"on/off", "off/on", "0/1", "1/0", "bool", "boolean", "ein/aus", "an/aus",
                    "aan/uit", "yes/no", "true/false", "hex", "hexadecimal", "dec", "decimal"});
}

/// A number from 2 to 9 as a word: which of several sensors.
int sensor_number(std::string_view word) {
  if (word.size() == 2 && word[0] == '0') word.remove_prefix(1);
  return word.size() == 1 && word[0] >= '2' && word[0] <= '9' ? word[0] - '0' : 0;
}

std::optional<Sense> sense_of(const Words& words, const Vocabulary& known) {
  if (auto sense = known.sense_of(words)) return sense;
  if (words.empty() || is_address_word(words[0])) return std::nullopt;
  Words without;
  int sensor = 0;
  for (const std::string& word : words) {
    const int number = sensor_number(word);
    if (number == 0)
      without.push_back(word);
    else if (sensor == 0)
      sensor = number;
    else
      return std::nullopt;
  }
  if (sensor == 0) return std::nullopt;
  auto sense = known.sense_of(without);
  if (!sense || quantity_of(*sense) == Quantity::none) return std::nullopt;
  sense->sensor = sensor;
  return sense;
}

/// "Minutes", "elapsed seconds", "engine rpm", "km/h": a phrase that has its unit among its words.
std::optional<Unit> unit_among(const Words& words, const Sense& sense) {
  const Quantity quantity = quantity_of(sense);
  if (quantity != Quantity::time && quantity != Quantity::rotation && quantity != Quantity::speed)
    return std::nullopt;
  if (const auto unit = unit_named(joined(words, 0), quantity)) return unit;
  for (const std::string& word : words) {
    if (word.size() < 2) continue;
    if (const auto unit = unit_named(word, quantity)) return unit;
  }
  return std::nullopt;
}

std::optional<HeadingReading> match(const Words& words, std::string_view unit_text,
                                    const Vocabulary& known) {
  const auto sense = sense_of(words, known);
  if (!sense) return std::nullopt;
  if (unit_text.empty()) return HeadingReading{*sense, unit_among(words, *sense)};
  const auto unit = unit_of(unit_text);
  if (!unit || unit->quantity != quantity_of(*sense)) return std::nullopt;
  return HeadingReading{*sense, unit};
}

bool agree(const Sense& a, const Sense& b) { return a.meaning == b.meaning && a.role == b.role; }

/// What is said a second time must agree; it may name what a bare temperature is of.
std::optional<HeadingReading> confirmed(HeadingReading found, const Sense& again) {
  if (agree(found.sense, again)) return found;
  if (found.sense.meaning == Meaning::bare && again.meaning == Meaning::role &&
      coolband::quantity_of(again.role) == Quantity::temperature) {
    return HeadingReading{again, found.unit};
  }
  return std::nullopt;
}

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
  return confirmed(*found, *alone);
}

/// One name without a path: brackets off, then the ways to split.
std::optional<HeadingReading> read_name(std::string text, const Vocabulary& known) {
  std::string inside;
  std::string unit;
  std::string remark;
  std::optional<Sense> address;
  while (peel_bracket(text, inside)) {
    if (unit.empty() && unit_of(inside))
      unit = inside;
    else if (is_address(inside))
      address = known.sense_of(words_of(inside));
    else if (!is_kind_of_value(inside))
      remark.insert(0, inside + " ");
  }
  std::optional<HeadingReading> found;
  if (!remark.empty()) {
    found = match_remark(text, remark, unit, known);
  } else if (!unit.empty()) {
    found = match(words_of(text), unit, known);
  } else {
    for (const Split& split : splits_of(text)) {
      if (!found) found = match(split.words, split.unit, known);
    }
  }
  return found && address ? confirmed(*found, *address) : found;
}

/// Bytes of a leading "PID 05 ", "SPN_110: " that something follows; 0 when there is none.
std::size_t address_size(std::string_view text) {
  const auto is_hex = [&](char c) {
    return is_decimal_digit(c) || (c >= 'A' && c <= 'F') || (c >= 'a' && c <= 'f') || c == 'x' ||
           c == 'X';
  };
  const auto is_mark = [](char c) {
    return std::string_view(" _:-.#=/").find(c) != std::string_view::npos;
  };
  if (text.size() < 5 || !is_one_of(text.substr(0, 3), {"pid", "spn", "pgn"})) return 0;
  std::size_t at = 3;
  while (at < text.size() && is_mark(text[at])) ++at;
  if (at == text.size() || !is_decimal_digit(text[at])) return 0;
  while (at < text.size() && is_hex(text[at])) ++at;
  const std::size_t end = at;
  while (at < text.size() && is_mark(text[at])) ++at;
  return at > end && at < text.size() ? at : 0;
}

/// "SPN 110 Engine coolant temperature": the number must not contradict the name.
std::optional<HeadingReading> read_addressed(std::string_view text, std::size_t size,
                                             const Vocabulary& known) {
  auto found = read_name(std::string(text.substr(size)), known);
  const auto address = known.sense_of(words_of(text.substr(0, size)));
  return found && address ? confirmed(*found, *address) : found;
}

bool is_of_cells(const HeadingReading& reading) {
  return reading.sense.meaning == Meaning::role &&
         static_cast<std::size_t>(reading.sense.role) >= k_role_count;
}

/// The name as it stands, then without each leading container of its path.
std::optional<HeadingReading> read_path(std::string_view text, const Vocabulary& known) {
  PathPart dropped = PathPart::none;
  while (true) {
    auto found = read_name(std::string(text), known);
    const std::size_t address = address_size(text);
    if (!found && address > 0) found = read_addressed(text, address, known);
    // "engine.value" is not the value column of a long table.
    if (found && dropped == PathPart::thing && is_of_cells(*found)) return std::nullopt;
    if (found) return found;
    const std::size_t end = text.find_first_of("./:|>\\");
    if (end == std::string_view::npos || end + 1 >= text.size()) return std::nullopt;
    const PathPart part = known.path_part(words_of(text.substr(0, end)));
    if (part == PathPart::none) return std::nullopt;
    dropped = std::max(dropped, part);
    text = trimmed(text.substr(end + 1));
  }
}

/// What headings mean is asked for several times a log, and again for each log of a fleet.
class HeadingMemo {
 public:
  /// Nothing where it is not known yet.
  [[nodiscard]] const std::optional<HeadingReading>* find(const std::string& text) const {
    const auto found = known_.find(text);
    return found == known_.end() ? nullptr : &found->second;
  }
  void keep(const std::string& text, const std::optional<HeadingReading>& reading) {
    if (text.size() > k_longest) return;
    if (known_.size() == k_most) known_.clear();
    known_.emplace(text, reading);
  }

 private:
  // Anything may stand where headings are looked for: neither many nor long texts are kept.
  static constexpr std::size_t k_most = 256;
  static constexpr std::size_t k_longest = 100;
  std::unordered_map<std::string, std::optional<HeadingReading>> known_;
};

std::optional<HeadingReading> remembered_path(const std::string& text, const Vocabulary& known) {
  if (&known != &vocabulary()) return read_path(trimmed(text), known);
  thread_local HeadingMemo memo;
  if (const auto* found = memo.find(text)) return *found;
  auto reading = read_path(trimmed(text), known);
  memo.keep(text, reading);
  return reading;
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

std::optional<HeadingReading> read_heading(std::string_view heading, const Vocabulary& known,
                                           std::string_view unit_below) {
  const std::string text = as_utf8(without_time_form(trimmed(heading)));
  auto found = remembered_path(text, known);
  if (!found || found->sense.meaning == Meaning::other) return std::nullopt;
  const bool stated = found->unit || unit_for(found->sense.role, unit_below);
  if (found->sense.needs_unit && !stated) return std::nullopt;
  return found;
}

} // namespace coolband
