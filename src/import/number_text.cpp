// SPDX-License-Identifier: Apache-2.0
// The slow but patient road for numbers.
#include "import/number_text.hpp"

#include "import/text_fields.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <string>

namespace coolband {

namespace {

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

std::string lowered(std::string_view text) {
  std::string result(trimmed(text));
  std::transform(result.begin(), result.end(), result.begin(), lower);
  return result;
}

struct Shape {
  std::size_t digits = 0;
  std::size_t commas = 0;
  std::size_t points = 0;
  std::size_t last_comma = 0;
  std::size_t last_point = 0;
  bool number_like = false;
};

/// Counts the marks of a cell that holds nothing but digits, marks and a leading sign.
Shape shape_of(std::string_view text) {
  Shape shape;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (is_decimal_digit(c))
      ++shape.digits;
    else if (c == ',')
      ++shape.commas, shape.last_comma = i;
    else if (c == '.')
      ++shape.points, shape.last_point = i;
    else if (i > 0 || (c != '-' && c != '+'))
      return {};
  }
  shape.number_like = shape.digits > 0 && is_decimal_digit(text.back());
  return shape;
}

/// "1.234.567": one to three digits, then groups of three.
bool is_grouped(std::string_view whole, char mark) {
  if (!whole.empty() && (whole[0] == '-' || whole[0] == '+')) whole.remove_prefix(1);
  std::size_t lead = std::min(whole.find(mark), whole.size());
  if (lead < 1 || lead > 3) return false;
  for (std::size_t at = lead; at < whole.size(); at += 4) {
    if (whole[at] != mark || whole.size() - at < 4) return false;
    for (std::size_t i = at + 1; i < at + 4; ++i) {
      if (!is_decimal_digit(whole[i])) return false;
    }
  }
  return true;
}

/// Takes the group marks out of the part before the decimal mark; false if they stand wrongly.
bool ungroup(std::string& text, char mark, char decimal) {
  const std::size_t stop =
      std::min(text.find_first_of(decimal == ',' ? ",eE" : ".eE"), text.size());
  if (text.find(mark) == std::string::npos) return true;
  if (text.find(mark, stop) != std::string::npos) return false;
  std::string whole = text.substr(0, stop);
  if (!is_grouped(whole, mark)) return false;
  whole.erase(std::remove(whole.begin(), whole.end(), mark), whole.end());
  text = whole + text.substr(stop);
  return true;
}

std::optional<double> finite_number(std::string_view text) {
  if (text.starts_with('+') && !text.starts_with("+-")) text.remove_prefix(1);
  if (text.empty() || (!is_decimal_digit(text[0]) && text[0] != '-' && text[0] != '.'))
    return std::nullopt;
  double value = 0.0;
  const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (code != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) {
    return std::nullopt;
  }
  return value;
}

/// "87" and "87.25", which nearly all cells are; nothing for all others. Both whole numbers are
/// exact, so that the one division rounds as reading the digits does.
std::optional<double> plain_number(std::string_view text) {
  constexpr std::size_t k_most_size = 16; // 15 digits and a point
  constexpr std::array<double, k_most_size> k_powers{1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                     1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
  if (text.empty() || text.size() > k_most_size) return std::nullopt;
  std::uint64_t digits = 0;
  std::size_t point = text.size();
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (is_decimal_digit(text[i])) {
      digits = digits * 10 + static_cast<std::uint64_t>(text[i] - '0');
    } else {
      if (text[i] != '.' || point != text.size() || i == 0 || i + 1 == text.size())
        return std::nullopt;
      point = i;
    }
  }
  if (point == text.size()) {
    if (text.size() == k_most_size) return std::nullopt;
    return static_cast<double>(digits);
  }
  return static_cast<double>(digits) / k_powers[text.size() - point - 1];
}

} // namespace

std::string_view trimmed(std::string_view text) {
  for (;;) {
    const std::size_t before = text.size();
    while (!text.empty() && (text[0] == ' ' || text[0] == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t' || text.back() == '\r')) {
      text.remove_suffix(1);
    }
    if (text.starts_with("\xC2\xA0")) text.remove_prefix(2);
    if (text.ends_with("\xC2\xA0")) text.remove_suffix(2);
    if (text.size() == before) return text;
  }
}

bool same_text(std::string_view a, std::string_view b) {
  a = trimmed(a);
  b = trimmed(b);
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](char x, char y) { return lower(x) == lower(y); });
}

std::optional<double> number_in(std::string_view cell, const NumberStyle& style) {
  if (style.point && !style.point_groups) {
    if (const auto plain = plain_number(cell)) return plain;
  }
  const std::string_view text = trimmed(cell);
  const bool has_comma = text.find(',') != std::string_view::npos;
  const bool has_point = text.find('.') != std::string_view::npos;
  if (!has_comma && (!has_point || (style.point && !style.point_groups)))
    return finite_number(text);
  std::string work(text);
  if (style.point_groups && !ungroup(work, '.', ',')) return std::nullopt;
  if (style.comma_groups && !ungroup(work, ',', '.')) return std::nullopt;
  if (!style.point && work.find('.') != std::string::npos) return std::nullopt;
  if (style.comma) std::replace(work.begin(), work.end(), ',', '.');
  return finite_number(work);
}

bool is_missing_mark(std::string_view cell) {
  static constexpr auto marks = std::to_array<std::string_view>(
      {"-",           "--",        "---",  "na",      "n/a",
       "n.a.",        "#n/a",      "nan",  "-nan",    "null",
       "none",        "nil",       "?",    "??",      "no data",
       "nodata",      "no_data",   "n.d.", "missing", "not available",
       "unavailable", "invalid",   "inf",  "+inf",    "-inf",
       "infinity",    "-infinity", "nd",   "*",       "."});
  if (cell.empty()) return true;
  // Most cells are numbers, and no mark has a digit in front.
  const std::size_t sign = cell[0] == '-' || cell[0] == '+' || cell[0] == '.' ? 1 : 0;
  if (cell.size() > sign && is_decimal_digit(cell[sign])) return false;
  const std::string text = lowered(cell);
  return text.empty() || std::find(marks.begin(), marks.end(), text) != marks.end();
}

std::optional<double> switch_state(std::string_view cell) {
  static constexpr auto on =
      std::to_array<std::string_view>({"on", "true", "yes", "active", "an", "ein"});
  static constexpr auto off =
      std::to_array<std::string_view>({"off", "false", "no", "inactive", "aus"});
  const std::string text = lowered(cell);
  if (std::find(on.begin(), on.end(), text) != on.end()) return 1.0;
  if (std::find(off.begin(), off.end(), text) != off.end()) return 0.0;
  return std::nullopt;
}

void NumberStyleGuess::see(std::string_view cell) {
  // One such point says all that a cell without a comma can say.
  if (point_decimals_ > 0 && cell.find(',') == std::string_view::npos) return;
  const std::string_view text = trimmed(cell);
  const Shape shape = shape_of(text);
  if (!shape.number_like) return;
  if (shape.commas == 1 && shape.points == 0) {
    ++(is_grouped(text, ',') ? comma_either_ : comma_decimals_);
  } else if (shape.points == 1 && shape.commas == 0) {
    point_decimals_ += is_grouped(text, '.') ? 0U : 1U;
  } else if (shape.commas == 1 && shape.points >= 1 && shape.last_comma > shape.last_point) {
    ++both_comma_last_;
  }
}

NumberStyle NumberStyleGuess::style(bool comma_is_delimiter) const {
  const bool sure_comma = comma_decimals_ + both_comma_last_ > 0;
  const bool comma = sure_comma || (!comma_is_delimiter && comma_either_ > 0);
  if (!comma) return {false, true, comma_is_delimiter, false};
  // Points that cannot be groups beside decimal commas: both mark decimals, and nothing groups.
  if (point_decimals_ > 0) return {true, true, false, false};
  return {true, false, false, true};
}

} // namespace coolband
