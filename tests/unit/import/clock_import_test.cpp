// SPDX-License-Identifier: Apache-2.0
// How the time column is understood, and what second 0 of the recording is then.
#include "unit/import/import_helpers.hpp"

using namespace coolband;
using namespace coolband::test;

namespace {

/// Rows with the given times, quoted, and a coolant of 90.
Recording with_times(const std::vector<std::string>& times, const std::string& heading = "time",
                     const ImportOptions& options = {}) {
  std::string text = heading + ",coolant_c\n";
  for (const std::string& time : times) text += "\"" + time + "\",90\n";
  return read(text, options);
}

std::string first_instant(const Recording& log) { return format_instant(log.clock, 0.0); }

} // namespace

TEST_CASE("numbers without a unit are seconds, milliseconds or an epoch by their size and steps") {
  CHECK(with_times({"5", "6", "7"}).how.clock == "seconds");
  CHECK(with_times({"5", "6", "7"}).clock.start_s == 5.0);
  CHECK(has_note(with_times({"5", "6"}), "time has no unit: read as seconds"));
  const Recording milli = with_times({"0", "1000", "2500"});
  CHECK(milli.how.clock == "milliseconds");
  CHECK(milli.time_s[2] == 2.5);
  CHECK(has_note(milli, "time has no unit: milliseconds by its steps of"));
  for (const char* zeros : {"", "000", "000000", "000000000"}) {
    const Recording epoch =
        with_times({std::string("1709528767") + zeros, std::string("1709528769") + zeros});
    CHECK(epoch.clock.kind == ClockKind::absolute);
    CHECK(first_instant(epoch) == "2024-03-04T05:06:07Z");
    CHECK(epoch.time_s[1] == doctest::Approx(2.0));
  }
}

TEST_CASE(
    "a counter of milliseconds that is as large as an epoch of seconds is told by its steps") {
  const Recording log = with_times({"900000000", "900001000", "900002000"});
  CHECK(log.how.clock == "milliseconds");
  CHECK(log.clock.kind == ClockKind::elapsed);
  CHECK(log.time_s[1] == 1.0);
}

TEST_CASE("a unit in the heading rules") {
  CHECK(with_times({"0", "1", "2"}, "time_ms").time_s[2] == doctest::Approx(0.002));
  CHECK(with_times({"0", "1", "2"}, "Time [min]").time_s[2] == 120.0);
  const Recording epoch = with_times({"1709528767000", "1709528767500"}, "timestamp_ms");
  CHECK(epoch.how.clock == "Unix milliseconds");
  CHECK(epoch.time_s[1] == 0.5);
}

TEST_CASE("dates with a clock are read with and without a zone") {
  const Recording local = with_times({"2024-03-04 05:06:07", "2024-03-04 05:06:08.5"});
  CHECK(local.clock.kind == ClockKind::date_time);
  CHECK(local.how.clock == "ISO 8601");
  CHECK(first_instant(local) == "2024-03-04T05:06:07");
  CHECK(local.time_s[1] == 1.5);
  const Recording zoned = with_times({"2024-03-04T07:06:07+02:00", "2024-03-04T05:06:09Z"});
  CHECK(zoned.clock.kind == ClockKind::absolute);
  CHECK(first_instant(zoned) == "2024-03-04T07:06:07+02:00");
  CHECK(zoned.time_s[1] == 2.0);
  CHECK(first_instant(with_times({"20240304050607", "20240304050608"})) == "2024-03-04T05:06:07");
}

TEST_CASE("the order of day and month is told by a field above 12, or asked for") {
  CHECK(first_instant(with_times({"13/03/2024 05:06:07", "13/03/2024 05:06:08"})) ==
        "2024-03-13T05:06:07");
  CHECK(first_instant(with_times({"03/13/2024 05:06:07", "03/13/2024 05:06:08"})) ==
        "2024-03-13T05:06:07");
  const char* unclear = "time,coolant_c\n03/04/2024 05:06:07,90\n03/04/2024 05:06:08,90\n";
  CHECK(refusal(unclear) ==
        "log:1:1: the dates could be read day first or month first, e.g. '03/04/2024 05:06:07'\n"
        "  time,coolant_c\n  ^\n"
        "  say which with --column time=\"time\":dmy or --column time=\"time\":mdy");
  CHECK(first_instant(read(unclear, choosing({"time=time:dmy"}))) == "2024-04-03T05:06:07");
  CHECK(first_instant(read(unclear, choosing({"time=time:mdy"}))) == "2024-03-04T05:06:07");
}

TEST_CASE("dates with a year of two digits are asked about") {
  CHECK(refusal("time,ect\n24-03-04 05:06:07,90\n24-03-04 05:06:08,90\n")
            .find("day first or month first") != std::string::npos);
}

TEST_CASE("a clock without a date rolls over midnight") {
  const Recording log = with_times({"23:59:58.5", "23:59:59", "00:00:01", "00:00:02"});
  CHECK(log.how.clock == "clock time");
  CHECK(log.clock.kind == ClockKind::clock_of_day);
  CHECK(log.time_s == std::vector<double>{0.0, 0.5, 2.5, 3.5});
  CHECK(with_times({"11:59:59 PM", "12:00:01 AM"}).time_s[1] == 2.0);
}

TEST_CASE("minutes and seconds with a fraction start again at the hour") {
  const Recording log = with_times({"59:58.0", "59:59.5", "00:01.0"});
  CHECK(log.how.clock == "minutes and seconds");
  CHECK(log.time_s == std::vector<double>{0.0, 1.5, 3.0});
  CHECK(has_note(log, "an hour is added each time"));
}

TEST_CASE("a date column and a clock column are joined") {
  const Recording log = read("Date,Time,ECT\n04.03.2024,23:59:59,90\n05.03.2024,00:00:01,91\n");
  CHECK(log.clock.kind == ClockKind::date_time);
  CHECK(first_instant(log) == "2024-03-04T23:59:59");
  CHECK(log.time_s[1] == 2.0);
  CHECK(has_note(log, "the date is taken from \"Date\""));
  CHECK(log.how.ignored.empty());
}

TEST_CASE("the order of a date column beside a clock is asked for and given by the time column") {
  const char* text = "Date,Time,ECT\n03/04/2024,23:59:59,90\n04/04/2024,00:00:01,91\n";
  const std::string refused = refusal(text);
  CHECK(refused.find("log:1:1: the dates could be read day first or month first") == 0);
  CHECK(refused.find("--column time=\"Time\":dmy") != std::string::npos);
  const Recording log = read(text, choosing({"time=Time:dmy"}));
  CHECK(first_instant(log) == "2024-04-03T23:59:59");
  CHECK(log.time_s[1] == 2.0);
}

TEST_CASE("a date column that holds the time as well is the time") {
  const Recording log = read("Date,ECT\n2024-03-04 05:06:07,90\n2024-03-04 05:06:08,91\n");
  CHECK(heading_of(log, Role::time) == "Date");
  CHECK(log.time_s[1] == 1.0);
}

TEST_CASE("days as spreadsheets count them are seen by their size and steps") {
  // 45355 is 2024-03-04 (25569 is 1970-01-01); one second is 1/86400 of a day.
  const Recording log = with_times({"45355.5", "45355.5000115741", "45355.5000231481"});
  CHECK(log.how.clock == "spreadsheet days");
  CHECK(first_instant(log) == "2024-03-04T12:00:00");
  CHECK(log.time_s[2] == doctest::Approx(2.0).epsilon(1e-4));
}
