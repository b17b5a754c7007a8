// SPDX-License-Identifier: Apache-2.0
// Small readers that each take a field off the front of a text.
#include "import/clock_text.hpp"

#include "coolband/core/timestamp.hpp"
#include "import/number_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

constexpr double k_day_s = 86400.0;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

/// `least` to `most` digits; one digit more is a failure.
bool take_number(std::string_view& text, std::size_t least, std::size_t most, int& number) {
  std::size_t count = 0;
  int value = 0;
  while (count < text.size() && count <= most && is_digit(text[count])) {
    value = value * 10 + (text[count++] - '0');
  }
  if (count < least || count > most) return false;
  text.remove_prefix(count);
  number = value;
  return true;
}

bool take(std::string_view& text, char c) {
  if (text.empty() || text[0] != c) return false;
  text.remove_prefix(1);
  return true;
}

bool take_word(std::string_view& text, std::string_view word) {
  if (text.size() < word.size()) return false;
  for (std::size_t i = 0; i < word.size(); ++i) {
    if (lower(text[i]) != word[i]) return false;
  }
  text.remove_prefix(word.size());
  return true;
}

void skip_blanks(std::string_view& text) {
  while (!text.empty() && (text[0] == ' ' || text[0] == '\t')) text.remove_prefix(1);
}

/// ".521" or ",521"; without digits behind the mark it is no fraction.
bool take_fraction(std::string_view& text, double& fraction) {
  fraction = 0.0;
  if (text.size() < 2 || (text[0] != '.' && text[0] != ',') || !is_digit(text[1])) return false;
  std::size_t end = 1;
  double digits = 0.0;
  double scale = 1.0;
  for (; end < text.size() && is_digit(text[end]); ++end) {
    if (end > 15) continue; // finer than a double can tell
    digits = digits * 10.0 + (text[end] - '0');
    scale *= 10.0;
  }
  fraction = digits / scale;
  text.remove_prefix(end);
  return true;
}

/// Nothing, "AM" or "PM" (also "a.m."), applied to the hour.
bool take_half_day(std::string_view& text, int& hour) {
  std::string_view rest = text;
  skip_blanks(rest);
  bool morning = take_word(rest, "am") || take_word(rest, "a.m.");
  const bool evening = !morning && (take_word(rest, "pm") || take_word(rest, "p.m."));
  if (!morning && !evening) return true;
  if (hour < 1 || hour > 12) return false;
  hour = hour % 12 + (evening ? 12 : 0);
  text = rest;
  return true;
}

bool take_clock(std::string_view& text, double& seconds) {
  int hour = 0;
  int minute = 0;
  int second = 0;
  double fraction = 0.0;
  if (!take_number(text, 1, 2, hour) || !take(text, ':') || !take_number(text, 2, 2, minute))
    return false;
  if (take(text, ':')) {
    if (!take_number(text, 2, 2, second)) return false;
    // Some loggers write the milliseconds behind one more colon.
    if (text.size() > 1 && text[0] == ':' && is_digit(text[1])) {
      int thousandths = 0;
      text.remove_prefix(1);
      if (!take_number(text, 3, 3, thousandths)) return false;
      fraction = thousandths / 1000.0;
    } else {
      take_fraction(text, fraction);
    }
  }
  if (!take_half_day(text, hour)) return false;
  if (hour > 23 || minute > 59 || second > 60) return false;
  seconds = hour * 3600.0 + minute * 60.0 + second + fraction;
  return true;
}

/// Nothing is a zone too: none.
bool take_zone(std::string_view& text, Instant& instant) {
  skip_blanks(text);
  if (text.empty()) return true;
  if (take_word(text, "z") || take_word(text, "utc") || take_word(text, "gmt"))
    instant.zoned = true;
  if (text.empty()) return true;
  const char sign = text[0];
  if (sign != '+' && sign != '-') return false;
  text.remove_prefix(1);
  int hours = 0;
  int minutes = 0;
  if (!take_number(text, 2, 2, hours)) {
    if (!take_number(text, 4, 4, hours)) return false;
    minutes = hours % 100;
    hours /= 100;
  } else if (!text.empty()) {
    take(text, ':');
    if (!take_number(text, 2, 2, minutes)) return false;
  }
  if (hours > 14 || minutes > 59) return false;
  instant.zoned = true;
  instant.offset_min = (sign == '-' ? -1 : 1) * (hours * 60 + minutes);
  return text.empty();
}

/// "mar", "March": 3; 0 for anything else.
int take_month_name(std::string_view& text) {
  static constexpr auto names = std::to_array<std::string_view>(
      {"january", "february", "march", "april", "may", "june", "july", "august", "september",
       "october", "november", "december"});
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (take_word(text, names[i]) || take_word(text, names[i].substr(0, 3)))
      return static_cast<int>(i) + 1;
  }
  return 0;
}

/// Three fields as they stand; `third` is a year unless the year comes first.
bool take_fields(std::string_view& text, DateFields& fields, int& third) {
  const std::size_t digits =
      static_cast<std::size_t>(std::find_if_not(text.begin(), text.end(), is_digit) - text.begin());
  fields.year_first = digits == 4;
  if (!take_number(text, 1, 4, fields.first) || digits == 3 || text.empty()) return false;
  fields.mark = text[0];
  if (fields.mark != '-' && fields.mark != '/' && fields.mark != '.' && fields.mark != ' ')
    return false;
  text.remove_prefix(1);
  if (const int month = take_month_name(text); month > 0) {
    fields.second = month;
    fields.month_named = true;
  } else if (fields.mark == ' ' || !take_number(text, 1, 2, fields.second)) {
    return false;
  }
  if (!take(text, fields.mark)) return false;
  const std::size_t before = text.size();
  if (!take_number(text, fields.year_first ? 1 : 2, fields.year_first ? 2 : 4, third)) return false;
  fields.short_year = !fields.year_first && before - text.size() == 2;
  return fields.year_first || fields.short_year || before - text.size() == 4;
}

bool days_of(const DateFields& fields, int third, DateOrder order, double& seconds) {
  int year = third + (fields.short_year ? 2000 : 0);
  int month = fields.second;
  int day = fields.first;
  if (fields.year_first) {
    year = fields.first;
    day = third;
  } else if (!fields.month_named && fields.mark != '.' && order == DateOrder::unknown) {
    return false;
  } else if (!fields.month_named && order == DateOrder::mdy) {
    std::swap(month, day);
  }
  const auto days = days_from_date(year, month, day);
  if (days) seconds = static_cast<double>(*days) * k_day_s;
  return days.has_value();
}

} // namespace

bool read_clock_time(std::string_view text, double& seconds) {
  text = trimmed(text);
  return take_clock(text, seconds) && text.empty();
}

bool read_minutes(std::string_view text, double& seconds) {
  text = trimmed(text);
  int minute = 0;
  int second = 0;
  double fraction = 0.0;
  if (!take_number(text, 1, 4, minute) || !take(text, ':')) return false;
  if (!take_number(text, 2, 2, second) || second > 59 || !take_fraction(text, fraction))
    return false;
  seconds = minute * 60.0 + second + fraction;
  return text.empty();
}

bool read_date(std::string_view& text, DateOrder order, double& seconds) {
  DateFields fields;
  int third = 0;
  std::string_view rest = trimmed(text);
  if (!take_fields(rest, fields, third) || !days_of(fields, third, order, seconds)) return false;
  text = rest;
  return true;
}

bool read_date_time(std::string_view text, DateOrder order, Instant& instant) {
  instant = {};
  double date_s = 0.0;
  double clock_s = 0.0;
  text = trimmed(text);
  if (!read_date(text, order, date_s) || text.empty()) return false;
  if (text[0] == 'T' || text[0] == 't' || text[0] == ',')
    text.remove_prefix(1);
  else if (text[0] != ' ')
    return false;
  skip_blanks(text);
  if (!take_clock(text, clock_s) || !take_zone(text, instant)) return false;
  instant.seconds = date_s + clock_s - instant.offset_min * 60.0;
  return true;
}

bool read_compact(std::string_view text, Instant& instant) {
  instant = {};
  text = trimmed(text);
  if (text.size() < 14) return false;
  std::string_view date = text.substr(0, 8);
  std::string_view time = text.substr(text[8] == 'T' ? 9 : 8);
  int day_number = 0;
  int clock = 0;
  double fraction = 0.0;
  std::string_view six = time.substr(0, std::min<std::size_t>(6, time.size()));
  if (!take_number(date, 8, 8, day_number) || !take_number(six, 6, 6, clock)) return false;
  time.remove_prefix(6);
  take_fraction(time, fraction);
  if (!take_zone(time, instant)) return false;
  const int year = day_number / 10000;
  const auto days = days_from_date(year, day_number / 100 % 100, day_number % 100);
  if (!days || year < 1970 || year > 2100 || clock / 10000 > 23) return false;
  if (clock / 100 % 100 > 59 || clock % 100 > 60) return false;
  const int second_of_day = clock / 10000 * 3600 + clock / 100 % 100 * 60 + clock % 100;
  instant.seconds =
      static_cast<double>(*days) * k_day_s + second_of_day + fraction - instant.offset_min * 60.0;
  return true;
}

bool look_at_date(std::string_view text, DateFields& fields) {
  int third = 0;
  text = trimmed(text);
  fields = {};
  return take_fields(text, fields, third);
}

} // namespace coolband
