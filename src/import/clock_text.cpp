// SPDX-License-Identifier: Apache-2.0
// The plain form of ISO 8601 is read by its places, everything else field by field.
#include "import/clock_text.hpp"

#include "coolband/core/timestamp.hpp"
#include "import/clock_units.hpp"
#include "import/number_text.hpp"
#include "import/text_fields.hpp"

namespace coolband {

namespace {

/// "AM", "p.m.", "a. m.": 'a' or 'p', taken off with the blanks before it; 0 for anything else.
char take_half_day(std::string_view& text) {
  std::string_view rest = text;
  skip_blanks(rest);
  if (rest.empty()) return 0;
  const char half = ascii_lower(rest[0]);
  if (half != 'a' && half != 'p') return 0;
  rest.remove_prefix(1);
  if (take_char(rest, '.')) skip_blanks(rest);
  if (!take_word(rest, "m")) return 0;
  take_char(rest, '.');
  text = rest;
  return half;
}

/// ".521", ",521", and ":521" as some loggers write the milliseconds; or nothing.
bool take_parts_of_second(std::string_view& text, double& fraction) {
  if (text.size() < 2 || text[0] != ':' || !is_decimal_digit(text[1])) {
    take_fraction(text, fraction);
    return true;
  }
  int thousandths = 0;
  text.remove_prefix(1);
  if (!take_digits(text, 3, 3, thousandths)) return false;
  fraction = thousandths / 1000.0;
  return true;
}

bool take_clock(std::string_view& text, double& seconds) {
  int hour = 0;
  int minute = 0;
  int second = 0;
  double fraction = 0.0;
  if (!take_digits(text, 1, 2, hour) || !take_char(text, ':') || !take_digits(text, 2, 2, minute))
    return false;
  if (take_char(text, ':') &&
      (!take_digits(text, 2, 2, second) || !take_parts_of_second(text, fraction)))
    return false;
  if (const char half = take_half_day(text); half != 0) {
    if (hour < 1 || hour > 12) return false;
    hour = hour % 12 + (half == 'p' ? 12 : 0);
  }
  if (hour > 24 || minute > 59 || second > 60) return false;
  seconds = hour * 3600.0 + minute * 60.0 + second + fraction;
  return seconds <= k_day_s || hour < 24;
}

/// "+02:00", "+0200", "+02", also with the minus sign of ISO 8601.
bool take_offset(std::string_view& text, Instant& instant) {
  const bool long_minus = text.starts_with("\xE2\x88\x92");
  if (!long_minus && text[0] != '+' && text[0] != '-') return false;
  const bool negative = long_minus || text[0] == '-';
  text.remove_prefix(long_minus ? 3 : 1);
  int hours = 0;
  int minutes = 0;
  if (take_digits(text, 4, 4, hours)) {
    minutes = hours % 100;
    hours /= 100;
  } else if (!take_digits(text, 2, 2, hours) ||
             (take_char(text, ':') && !take_digits(text, 2, 2, minutes))) {
    return false;
  }
  if (hours > 14 || minutes > 59) return false;
  instant.offset_min = (negative ? -1 : 1) * (hours * 60 + minutes);
  return true;
}

/// Nothing is a zone too: none.
bool take_zone(std::string_view& text, Instant& instant) {
  skip_blanks(text);
  if (text.empty()) return true;
  if (take_word(text, "z") || take_word(text, "utc") || take_word(text, "gmt"))
    instant.zoned = true;
  if (text.empty()) return true;
  if (!take_offset(text, instant)) return false;
  instant.zoned = true;
  return text.empty();
}

/// Two digits at `at`; anything else raises `wrong`.
int two_digits(std::string_view text, std::size_t at, unsigned& wrong) {
  const auto tens = static_cast<unsigned>(text[at] - '0');
  const auto ones = static_cast<unsigned>(text[at + 1] - '0');
  wrong |= static_cast<unsigned>(tens > 9) | static_cast<unsigned>(ones > 9);
  return static_cast<int>(tens * 10 + ones);
}

/// "2024-03-04T05:06:07" by its places, as nearly all logs with dates have it. What it does not
/// take is left to the slow road.
bool take_plain_iso(std::string_view& text, double& seconds) {
  if (text.size() < 19 || text[4] != '-' || text[7] != '-' || text[13] != ':' || text[16] != ':' ||
      (text[10] != 'T' && text[10] != ' '))
    return false;
  unsigned wrong = 0;
  const int year = two_digits(text, 0, wrong) * 100 + two_digits(text, 2, wrong);
  const int month = two_digits(text, 5, wrong);
  const int day = two_digits(text, 8, wrong);
  const int hour = two_digits(text, 11, wrong);
  const int minute = two_digits(text, 14, wrong);
  const int second = two_digits(text, 17, wrong);
  if (wrong != 0 || hour > 23 || minute > 59 || second > 59) return false;
  const auto days = days_from_date(year, month, day);
  if (!days) return false;
  std::string_view rest = text.substr(19);
  double fraction = 0.0;
  take_fraction(rest, fraction);
  if (!rest.empty() && rest[0] != 'Z' && rest[0] != '+' && rest[0] != '-') return false;
  seconds = static_cast<double>(*days) * k_day_s + hour * 3600 + minute * 60 + second + fraction;
  text = rest;
  return true;
}

/// What stands between a date and its clock time; a dash only behind a date without dashes.
bool take_date_end(std::string_view& text, std::string_view date) {
  if (text.empty()) return false;
  const char mark = text[0];
  const bool dash = mark == '-' && date.find('-') == std::string_view::npos;
  if (mark == 'T' || mark == 't' || mark == '_' || mark == ',' || dash)
    text.remove_prefix(1);
  else if (mark != ' ' && mark != '\t')
    return false;
  skip_blanks(text);
  return true;
}

/// "101112" or "1011": seconds since midnight.
bool take_compact_clock(std::string_view& text, double& seconds) {
  int number = 0;
  std::string_view rest = text;
  const bool whole = take_digits(rest, 6, 6, number);
  if (!whole) {
    rest = text;
    if (!take_digits(rest, 4, 4, number)) return false;
    number *= 100;
  }
  const int hour = number / 10000;
  const int minute = number / 100 % 100;
  const int second = number % 100;
  if (hour > 24 || minute > 59 || second > 60) return false;
  seconds = hour * 3600.0 + minute * 60.0 + second;
  if (hour == 24 && seconds > k_day_s) return false;
  text = rest;
  return true;
}

/// Seconds of `number` of a duration's part, or nothing for another letter than `unit`.
bool take_part(std::string_view& text, char unit, double scale, double& seconds) {
  std::string_view rest = text;
  int whole = 0;
  double fraction = 0.0;
  if (!take_digits(rest, 1, 9, whole)) return false;
  take_fraction(rest, fraction);
  if (rest.empty() || ascii_lower(rest[0]) != unit) return false;
  rest.remove_prefix(1);
  seconds += (whole + fraction) * scale;
  text = rest;
  return true;
}

} // namespace

bool read_clock_time(std::string_view text, double& seconds) {
  text = trimmed(text);
  return take_clock(text, seconds) && text.empty();
}

bool read_span(std::string_view text, double& seconds) {
  text = trimmed(text);
  const bool negative = take_char(text, '-');
  int days = 0;
  int hours = 0;
  int minutes = 0;
  int whole = 0;
  double fraction = 0.0;
  std::string_view rest = text;
  if (take_digits(rest, 1, 6, days) && (take_char(rest, '.') || take_char(rest, ' '))) {
    text = rest;
  } else {
    days = 0;
  }
  if (!take_digits(text, 1, 6, hours) || !take_char(text, ':') ||
      !take_digits(text, 2, 2, minutes) || !take_char(text, ':') ||
      !take_digits(text, 2, 2, whole) || minutes > 59 || whole > 59)
    return false;
  take_fraction(text, fraction);
  seconds = days * k_day_s + hours * 3600.0 + minutes * 60.0 + whole + fraction;
  if (negative) seconds = -seconds;
  return text.empty();
}

bool read_minutes(std::string_view text, double& seconds) {
  text = trimmed(text);
  const bool negative = take_char(text, '-');
  int minutes = 0;
  int whole = 0;
  double fraction = 0.0;
  if (!take_digits(text, 1, 6, minutes) || !take_char(text, ':') ||
      !take_digits(text, 2, 2, whole) || whole > 59)
    return false;
  take_fraction(text, fraction);
  seconds = minutes * 60.0 + whole + fraction;
  if (negative) seconds = -seconds;
  return text.empty();
}

bool read_clock_digits(std::string_view text, double& seconds) {
  text = trimmed(text);
  int number = 0;
  double fraction = 0.0;
  if (!take_digits(text, 1, 6, number)) return false;
  take_fraction(text, fraction);
  const int hour = number / 10000;
  const int minute = number / 100 % 100;
  const int second = number % 100;
  if (!text.empty() || hour > 23 || minute > 59 || second > 59) return false;
  seconds = hour * 3600.0 + minute * 60.0 + second + fraction;
  return true;
}

bool read_duration(std::string_view text, double& seconds) {
  text = trimmed(text);
  seconds = 0.0;
  if (!take_word(text, "p")) return false;
  bool any = take_part(text, 'd', k_day_s, seconds);
  if (take_word(text, "t")) {
    const bool hours = take_part(text, 'h', 3600.0, seconds);
    const bool minutes = take_part(text, 'm', 60.0, seconds);
    const bool whole = take_part(text, 's', 1.0, seconds);
    any = hours || minutes || whole;
  }
  return any && text.empty();
}

bool read_date_time(std::string_view text, DateOrder order, Instant& instant) {
  instant = {};
  text = trimmed(text);
  if (!take_plain_iso(text, instant.seconds)) {
    double date_s = 0.0;
    double clock_s = 0.0;
    const std::string_view whole = text;
    if (!take_date(text, order, date_s) ||
        !take_date_end(text, whole.substr(0, whole.size() - text.size())) ||
        !take_clock(text, clock_s))
      return false;
    instant.seconds = date_s + clock_s;
  }
  if (!take_zone(text, instant)) return false;
  instant.seconds -= instant.offset_min * 60.0;
  return true;
}

bool read_compact(std::string_view text, Instant& instant) {
  instant = {};
  text = trimmed(text);
  std::string_view date = text.substr(0, 8);
  double date_s = 0.0;
  double clock_s = 0.0;
  double fraction = 0.0;
  if (text.size() < 13 || !take_date(date, DateOrder::unknown, date_s) || !date.empty())
    return false;
  std::string_view time = text.substr(8);
  if (take_word(time, "t")) {
    if (!take_compact_clock(time, clock_s)) return false;
    take_fraction(time, fraction);
  } else {
    std::string_view six = time.substr(0, 6);
    int thousandths = 0;
    if (six.size() < 6 || !take_compact_clock(six, clock_s) || !six.empty()) return false;
    time.remove_prefix(6);
    if (!take_fraction(time, fraction) && take_digits(time, 3, 3, thousandths))
      fraction = thousandths / 1000.0;
  }
  if (!take_zone(time, instant)) return false;
  instant.seconds = date_s + clock_s + fraction - instant.offset_min * 60.0;
  return true;
}

} // namespace coolband
