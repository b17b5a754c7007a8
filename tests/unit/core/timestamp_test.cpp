// SPDX-License-Identifier: Apache-2.0
// Instants and durations as a person reads them. Day counts are those of POSIX time (IEEE 1003.1,
// "Seconds since the Epoch"); instants can be checked with `date -u -d @SECONDS`.
#include "coolband/core/timestamp.hpp"

#include <doctest/doctest.h>

using namespace coolband;

TEST_CASE("an absolute clock is written with its offset") {
  CHECK(format_instant({ClockKind::absolute, 0.0, 0}, 0.0) == "1970-01-01T00:00:00Z");
  CHECK(format_instant({ClockKind::absolute, 1e9, 0}, 0.0) == "2001-09-09T01:46:40Z");
  CHECK(format_instant({ClockKind::absolute, 1e9, 120}, 0.0) == "2001-09-09T03:46:40+02:00");
  CHECK(format_instant({ClockKind::absolute, 1e9, -570}, 0.0) == "2001-09-08T16:16:40-09:30");
}

TEST_CASE("instants before 1970 belong to the day they lie in") {
  CHECK(format_instant({ClockKind::absolute, 0.0, 0}, -1.0) == "1969-12-31T23:59:59Z");
  CHECK(format_instant({ClockKind::absolute, 0.0, 0}, -86400.0) == "1969-12-31T00:00:00Z");
  CHECK(format_instant({ClockKind::absolute, 0.0, -60}, 0.0) == "1969-12-31T23:00:00-01:00");
}

TEST_CASE("a clock of the day turns over at midnight, both ways") {
  const Clock clock{ClockKind::clock_of_day, 86390.0, 0};
  CHECK(format_instant(clock, 9.0) == "23:59:59");
  CHECK(format_instant(clock, 10.0) == "00:00:00");
  CHECK(format_instant(clock, 86410.0) == "00:00:00");
  CHECK(format_instant({ClockKind::clock_of_day, 0.0, 0}, -1.0) == "23:59:59");
}

TEST_CASE("a log's own local time has no zone, and a counter is no time of day") {
  CHECK(format_instant({ClockKind::date_time, 951782400.0, 0}, 3661.0) == "2000-02-29T01:01:01");
  CHECK(format_instant({ClockKind::elapsed, 17.0, 0}, 5.0).empty());
}

TEST_CASE("a second is cut, not rounded, but binary fractions do not lose one") {
  const Clock clock{ClockKind::clock_of_day, 0.0, 0};
  CHECK(format_instant(clock, 59.9) == "00:00:59");
  CHECK(format_instant(clock, 59.9999999) == "00:01:00");
  CHECK(format_instant({ClockKind::absolute, 1893456059.9999998, 0}, 0.0) ==
        "2030-01-01T00:01:00Z");
}

TEST_CASE("days are counted by the Gregorian calendar") {
  CHECK(days_from_date(1970, 1, 1) == 0);
  CHECK(days_from_date(1969, 12, 31) == -1);
  CHECK(days_from_date(2000, 2, 29) == 11016);
  CHECK(days_from_date(2000, 3, 1) == 11017);
}

TEST_CASE("a date that does not exist is none") {
  CHECK_FALSE(days_from_date(1900, 2, 29)); // divisible by 100, not by 400
  CHECK_FALSE(days_from_date(2031, 2, 29));
  CHECK_FALSE(days_from_date(2031, 4, 31));
  CHECK_FALSE(days_from_date(2031, 0, 1));
  CHECK_FALSE(days_from_date(2031, 13, 1));
  CHECK_FALSE(days_from_date(2031, 1, 0));
  CHECK_FALSE(days_from_date(2031, 1, -1));
}

TEST_CASE("durations are as exact as a person needs") {
  CHECK(format_duration(0.0) == "0 s");
  CHECK(format_duration(42.4) == "42 s");
  CHECK(format_duration(119.0) == "119 s");
  CHECK(format_duration(120.0) == "2 min");
  CHECK(format_duration(273.0) == "4 min 33 s");
  CHECK(format_duration(599.6) == "10 min");
  CHECK(format_duration(1620.0) == "27 min");
  CHECK(format_duration(7500.0) == "2 h 05 min");
  CHECK(format_duration(86400.0) == "24 h 00 min");
}
