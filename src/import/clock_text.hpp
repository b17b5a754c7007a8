// SPDX-License-Identifier: Apache-2.0
// Times and dates as logs write them, one cell at a time.
#pragma once

#include <string_view>

namespace coolband {

/// How a date with the day or month first is meant; year-first dates need no such word.
enum class DateOrder { unknown, dmy, mdy };

struct Instant {
  double seconds = 0.0; ///< since 1970-01-01 00:00; in UTC when zoned, else in the log's own time
  bool zoned = false;
  int offset_min = 0; ///< of the zone, when zoned
};

/// What the fields of a date say about their order.
struct DateFields {
  int first = 0;
  int second = 0;
  bool year_first = false;
  bool month_named = false;
  bool short_year = false;
  char mark = 0; ///< '-', '/', '.' or ' '
};

/// "HH:MM", "HH:MM:SS", "HH:MM:SS.fff" (also with a comma), with AM or PM behind: seconds since
/// midnight.
bool read_clock_time(std::string_view text, double& seconds);

/// "MM:SS.f": two parts with a fraction.
bool read_minutes(std::string_view text, double& seconds);

/// A date alone, in seconds since 1970-01-01. Takes what it read off `text`. Two-digit years are
/// 2000 to 2099 and are read only with points ("04.03.24") or with the order given by the user.
bool read_date(std::string_view& text, DateOrder order, double& seconds);

/// A date, then T or blanks, then a clock time, then perhaps a zone (Z, UTC, +02:00, +0200, +02).
bool read_date_time(std::string_view text, DateOrder order, Instant& instant);

/// "20240304101112" or "20240304T101112", perhaps with a fraction.
bool read_compact(std::string_view text, Instant& instant);

/// The fields of a date at the start of `text`, for telling the order of days and months.
bool look_at_date(std::string_view text, DateFields& fields);

} // namespace coolband
