// SPDX-License-Identifier: Apache-2.0
// Candidates are compared field by field; near misses word by word.
#include "import/candidates.hpp"

#include "core/suggest.hpp"
#include "import/text_fields.hpp"

#include <algorithm>
#include <set>
#include <tuple>

namespace coolband {

namespace {

// A sample with fewer rows cannot tell an identifier from a measurement.
constexpr std::size_t k_rows_for_identifier = 8;
// Shorter words are too close to each other: "egt" is no slip for "ect".
constexpr std::size_t k_shortest_slip = 5;
constexpr std::size_t k_shortest_joined_slip = 9;

bool is_readable(std::string_view cell, const NumberStyle& numbers, Role role) {
  if (is_missing_mark(cell)) return false;
  switch (role) {
  case Role::time: return std::any_of(cell.begin(), cell.end(), is_decimal_digit);
  case Role::trip:
  case Role::vehicle: return true;
  case Role::fan:
  case Role::heater: return number_in(cell, numbers).has_value() || switch_state(cell).has_value();
  default: return number_in(cell, numbers).has_value();
  }
}

/// Goes over the cells of a column that are neither absent nor marks of a missing value.
template <class See>
void each_filled_cell(const TableHead& head, std::size_t column, See see) {
  for (const auto& row : head.sample) {
    if (column < row.size() && !is_missing_mark(row[column])) see(trimmed(row[column]));
  }
}

/// "25.11.2026", "2026-11-25", "25/11/26 13:05": digits, two equal marks, digits.
bool begins_with_date(std::string_view cell) {
  std::size_t marks = 0;
  char mark = '\0';
  std::size_t digits = 0;
  for (const char c : cell) {
    if (is_decimal_digit(c)) {
      ++digits;
    } else if (marks < 2 && (c == '.' || c == '-' || c == '/') && (marks == 0 || c == mark)) {
      mark = c;
      ++marks;
    } else {
      break;
    }
  }
  return marks == 2 && digits >= 4 && digits <= 8;
}

/// Edits between two words that one slip of the pen can explain; 0 for equal words.
std::optional<std::size_t> slip(const std::string& a, const std::string& b) {
  if (a == b) return 0;
  if (std::min(a.size(), b.size()) < k_shortest_slip || a[0] != b[0]) return std::nullopt;
  if (std::any_of(a.begin(), a.end(), is_decimal_digit)) return std::nullopt;
  const std::size_t edits = edits_between(a, b);
  if (edits > (std::min(a.size(), b.size()) >= 8 ? 2U : 1U)) return std::nullopt;
  return edits;
}

std::string joined(const Words& words) {
  std::string text;
  for (const std::string& word : words) text += word;
  return text;
}

bool is_near(const Words& heading, const Words& phrase) {
  if (heading.size() == phrase.size()) {
    std::size_t edits = 0;
    for (std::size_t i = 0; i < heading.size(); ++i) {
      const auto more = slip(heading[i], phrase[i]);
      if (!more) return false;
      edits += *more;
    }
    return edits >= 1 && edits <= 3;
  }
  const std::string a = joined(heading);
  const std::string b = joined(phrase);
  if (std::min(a.size(), b.size()) < k_shortest_joined_slip) return false;
  return slip(a, b).value_or(9) <= 1;
}

/// The words of a heading without what stands in brackets and without a unit at the end.
std::vector<Words> readings_of(std::string_view heading, const Vocabulary& known) {
  Words words = words_of(heading.substr(0, heading.find_first_of("([{")));
  std::vector<Words> readings{known.core_of(words)};
  if (words.size() > 1 && unit_named(words.back())) {
    words.pop_back();
    readings.push_back(known.core_of(words));
  }
  return readings;
}

} // namespace

bool better(const RoleCandidate& a, const RoleCandidate& b) {
  return std::tuple(a.readable == 0, a.tier, a.sensor, b.readable, a.index) <
         std::tuple(b.readable == 0, b.tier, b.sensor, a.readable, b.index);
}

std::string why_better(const RoleCandidate& a, const RoleCandidate& b) {
  if ((a.readable == 0) != (b.readable == 0)) return "the other has no values in the first rows";
  if (a.tier != b.tier) return "its heading is preferred";
  if (a.sensor != b.sensor) return "it has the lower sensor number";
  if (a.readable != b.readable) return "it has more values in the first rows";
  return "it is further left";
}

std::size_t readable_cells(const TableHead& head, std::size_t column, Role role) {
  std::size_t count = 0;
  each_filled_cell(head, column, [&](std::string_view cell) {
    if (is_readable(cell, head.numbers, role)) ++count;
  });
  return count;
}

bool is_no_identifier(const TableHead& head, std::size_t column) {
  std::set<std::string_view> texts;
  std::size_t count = 0;
  each_filled_cell(head, column, [&](std::string_view cell) {
    texts.insert(cell);
    ++count;
  });
  return count >= k_rows_for_identifier && texts.size() * 2 > count;
}

bool holds_dates(const TableHead& head, std::size_t column) {
  std::size_t count = 0;
  std::size_t dates = 0;
  each_filled_cell(head, column, [&](std::string_view cell) {
    ++count;
    if (begins_with_date(cell)) ++dates;
  });
  return count > 0 && dates == count;
}

std::optional<Role> role_nearly_named(std::string_view heading, const Vocabulary& known,
                                      const std::vector<bool>& wanted) {
  const auto readings = readings_of(heading, known);
  // "Heading" is known for what it is, and no slip for "heating".
  if (const auto sense = known.sense_of(readings[0]); sense && sense->meaning == Meaning::other)
    return std::nullopt;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    if (!wanted[i]) continue;
    const auto role = static_cast<Role>(i);
    for (const Words& phrase : known.phrase_words(role)) {
      for (const Words& words : readings) {
        if (is_near(words, phrase)) return role;
      }
    }
  }
  return std::nullopt;
}

} // namespace coolband
