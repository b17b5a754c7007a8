// SPDX-License-Identifier: Apache-2.0
// Clock times, spans of time, and dates with a clock time, as logs write them, one cell at a time.
#pragma once

#include "import/date_text.hpp"

#include <string_view>

namespace coolband {

struct Instant {
  double seconds = 0.0; ///< since 1970-01-01 00:00; in UTC when zoned, else in the log's own time
  bool zoned = false;
  int offset_min = 0; ///< of the zone, when zoned
};

/// "HH:MM", "HH:MM:SS", "HH:MM:SS.fff" (also with a comma, or ":fff"), with AM or PM behind:
/// seconds since midnight. 24:00:00 is the end of the day, a second of 60 a leap second; both are
/// the same as what follows them.
bool read_clock_time(std::string_view text, double& seconds);

/// "H:MM:SS.f" with any number of hours, also with days before it ("1.02:03:04", "1 02:03:04") or a
/// minus sign.
bool read_span(std::string_view text, double& seconds);

/// "M:SS.f" with any number of minutes.
bool read_minutes(std::string_view text, double& seconds);

/// "HHMMSS" and "HHMMSS.ff" as receivers of satellite positions write the time of day; a number has
/// lost the zeros in front ("85500" is 08:55:00).
bool read_clock_digits(std::string_view text, double& seconds);

/// A duration of ISO 8601 of days and less: "PT1M5.5S", "P1DT2H".
bool read_duration(std::string_view text, double& seconds);

/// A date, then T, a comma, blanks or (behind a date without dashes) a dash, then a clock time, then perhaps a zone (Z, UTC, +02:00,
/// +0200, +02).
bool read_date_time(std::string_view text, DateOrder order, Instant& instant);

/// The basic format of ISO 8601, "20240304T101112Z", also without the T, or without seconds behind
/// it; a fraction may follow, and without the T milliseconds as three more digits.
bool read_compact(std::string_view text, Instant& instant);

} // namespace coolband
