// SPDX-License-Identifier: Apache-2.0
// A date is taken apart first and understood second, as its order may be known only from others.
#include "import/date_text.hpp"

#include "coolband/core/timestamp.hpp"
#include "import/clock_units.hpp"
#include "import/month_names.hpp"
#include "import/text_fields.hpp"

#include <array>
#include <chrono>
#include <utility>

namespace coolband {

namespace {

void skip_weekday(std::string_view& text) {
  static constexpr auto names = std::to_array<std::string_view>(
      {"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "mon", "tue",
       "wed", "thu", "fri", "sat", "sun"});
  for (const std::string_view name : names) {
    std::string_view rest = text;
    if (!take_word(rest, name) || rest.empty() || is_ascii_letter(rest[0])) continue;
    if (rest[0] == ',' || rest[0] == '.') rest.remove_prefix(1);
    skip_blanks(rest);
    text = rest;
    return;
  }
}

/// Years take four digits behind the month, or two.
bool take_year(std::string_view& text, DateFields& fields) {
  const std::size_t before = text.size();
  if (!take_digits(text, 2, 4, fields.third)) return false;
  const std::size_t digits = before - text.size();
  fields.short_year = digits == 2;
  return digits != 3;
}

/// What may stand on either side of a month's name: a mark, blanks, "de".
void skip_around_name(std::string_view& text) {
  if (!text.empty() && (text[0] == '.' || text[0] == '-' || text[0] == '/' || text[0] == ','))
    text.remove_prefix(1);
  skip_blanks(text);
  std::string_view rest = text;
  if (!take_word(rest, "de") || rest.empty() || rest[0] != ' ') return;
  skip_blanks(rest);
  text = rest;
}

/// "March 4, 2024"
bool take_month_first(std::string_view& text, DateFields& fields) {
  fields.second = take_month_name(text);
  fields.month_named = true;
  if (fields.second == 0) return false;
  take_char(text, '.');
  skip_around_name(text);
  if (!take_digits(text, 1, 2, fields.first)) return false;
  skip_around_name(text);
  return take_year(text, fields);
}

void set_date(DateFields& fields, std::chrono::sys_days day) {
  const std::chrono::year_month_day date{day};
  fields.first = static_cast<int>(date.year());
  fields.second = static_cast<int>(static_cast<unsigned>(date.month()));
  fields.third = static_cast<int>(static_cast<unsigned>(date.day()));
}

/// "064" behind the year: the day of the year.
bool take_ordinal(std::string_view& text, DateFields& fields) {
  std::string_view rest = text;
  int day = 0;
  if (!take_digits(rest, 3, 3, day)) return false;
  const std::chrono::year year{fields.first};
  if (day < 1 || day > (year.is_leap() ? 366 : 365)) return false;
  set_date(fields, std::chrono::sys_days{year / 1 / 1} + std::chrono::days{day - 1});
  text = rest;
  return true;
}

/// "W10-1" behind the year. Week 1 is the week with the year's first Thursday.
bool take_week(std::string_view& text, DateFields& fields) {
  std::string_view rest = text;
  int week = 0;
  int weekday = 0;
  if (!take_word(rest, "w") || !take_digits(rest, 2, 2, week) || !take_char(rest, '-') ||
      !take_digits(rest, 1, 1, weekday))
    return false;
  const std::chrono::sys_days fourth{std::chrono::year{fields.first} / 1 / 4};
  const auto monday = fourth - (std::chrono::weekday{fourth} - std::chrono::Monday);
  const auto thursday = monday + std::chrono::days{7 * (week - 1) + 3};
  const std::chrono::year_month_day middle{thursday};
  if (week < 1 || weekday < 1 || weekday > 7 || static_cast<int>(middle.year()) != fields.first)
    return false;
  set_date(fields, thursday + std::chrono::days{weekday - 4});
  text = rest;
  return true;
}

/// "20240304"; years far from those of any log are other numbers.
bool take_eight(std::string_view& text, DateFields& fields) {
  int number = 0;
  if (!take_digits(text, 8, 8, number)) return false;
  fields.first = number / 10000;
  fields.second = number / 100 % 100;
  fields.third = number % 100;
  fields.year_first = true;
  return fields.first >= 1970 && fields.first <= 2100;
}

/// The month and what follows, behind a first field and perhaps its mark.
bool take_named_rest(std::string_view& text, DateFields& fields) {
  skip_around_name(text);
  fields.second = take_month_name(text);
  fields.month_named = true;
  if (fields.second == 0) return false;
  take_char(text, '.');
  skip_around_name(text);
  if (fields.year_first) return take_digits(text, 1, 2, fields.third);
  return take_year(text, fields);
}

bool take_numbers_rest(std::string_view& text, DateFields& fields) {
  const char mark = text.empty() ? '\0' : text[0];
  if (mark != '-' && mark != '/' && mark != '.') return false;
  fields.mark = mark;
  text.remove_prefix(1);
  if (mark == '.') skip_blanks(text);
  if (fields.year_first && mark == '-' && (take_ordinal(text, fields) || take_week(text, fields)))
    return true;
  if (!take_digits(text, 1, 2, fields.second) || !take_char(text, mark)) return false;
  if (mark == '.') skip_blanks(text);
  if (fields.year_first) return take_digits(text, 1, 2, fields.third);
  return take_year(text, fields);
}

bool take_from_number(std::string_view& text, DateFields& fields) {
  std::size_t digits = 0;
  while (digits < text.size() && is_decimal_digit(text[digits])) ++digits;
  fields.year_first = digits == 4;
  if (digits == 8) return take_eight(text, fields);
  if (digits == 3 || !take_digits(text, 1, 4, fields.first)) return false;
  const std::string_view behind = text;
  const DateFields begun = fields;
  if (take_numbers_rest(text, fields)) return true;
  text = behind;
  fields = begun;
  return take_named_rest(text, fields);
}

} // namespace

bool take_date_fields(std::string_view& text, DateFields& fields) {
  fields = {};
  std::string_view rest = text;
  if (!rest.empty() && !is_decimal_digit(rest[0])) {
    skip_weekday(rest);
    std::string_view named = rest;
    if (take_month_first(named, fields)) {
      text = named;
      return true;
    }
    fields = {};
  }
  if (!take_from_number(rest, fields)) return false;
  text = rest;
  return true;
}

std::optional<long> days_of(const DateFields& fields, DateOrder order) {
  int year = fields.third + (fields.short_year ? 2000 : 0);
  int month = fields.second;
  int day = fields.first;
  if (fields.year_first || (fields.short_year && order == DateOrder::ymd)) {
    year = fields.first + (fields.year_first ? 0 : 2000);
    day = fields.third;
  } else if (!fields.month_named && fields.mark != '.' && order == DateOrder::unknown) {
    return std::nullopt;
  } else if (!fields.month_named && order == DateOrder::mdy) {
    std::swap(month, day);
  }
  return days_from_date(year, month, day);
}

bool take_date(std::string_view& text, DateOrder order, double& seconds) {
  DateFields fields;
  std::string_view rest = text;
  skip_blanks(rest);
  if (!take_date_fields(rest, fields)) return false;
  const auto days = days_of(fields, order);
  if (!days) return false;
  seconds = static_cast<double>(*days) * k_day_s;
  text = rest;
  return true;
}

} // namespace coolband
