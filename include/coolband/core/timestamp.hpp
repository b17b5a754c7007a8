// SPDX-License-Identifier: Apache-2.0
// How a log counts time, and how an instant of it is written for a person.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace coolband {

enum class ClockKind {
  elapsed,      ///< a counter: seconds since something
  clock_of_day, ///< hours, minutes, seconds without a date
  date_time,    ///< a date and time without a zone, as the log's own local time
  absolute,     ///< an instant: epoch, or a date and time with an offset
};

/// Where second 0 of a recording lies on its clock.
/// `start_s`: for elapsed the first counter value in s; for clock_of_day seconds since midnight;
/// for date_time seconds since 1970-01-01 00:00 in local time; for absolute the Unix time in s.
struct Clock {
  ClockKind kind = ClockKind::elapsed;
  double start_s = 0.0;
  int offset_min = 0; ///< absolute only: offset from UTC to print with, in minutes
};

/// `seconds` after the start, to the whole second: "2031-03-04T05:06:07Z", "…+02:00",
/// "2031-03-04T05:06:07" or "05:06:07". An elapsed clock has no such text: empty.
std::string format_instant(const Clock& clock, double seconds);

/// Days since 1970-01-01 of a Gregorian date of the years 1 to 9999; nothing if there is none.
std::optional<long> days_from_date(int year, int month, int day);

/// Seconds for a person: "42 s", "4 min 33 s", "27 min", "2 h 05 min".
std::string format_duration(double seconds);

} // namespace coolband
