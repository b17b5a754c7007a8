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
        "log:1:1: the dates could be read day first or month first, e.g. '03/04/2024 05:06:07' "
        "(told from the first 2 rows)\n  time,coolant_c\n  ^\n"
        "  say which with --column time=\"time\":dmy or --column time=\"time\":mdy");
  CHECK(first_instant(read(unclear, choosing({"time=time:dmy"}))) == "2024-04-03T05:06:07");
  CHECK(first_instant(read(unclear, choosing({"time=time:mdy"}))) == "2024-03-04T05:06:07");
}

TEST_CASE("dates with a year of two digits are asked about where more than one order is left") {
  const char* unclear = "time,ect\n24-03-04 05:06:07,90\n24-03-04 05:06:08,90\n";
  const std::string refused = refusal(unclear);
  CHECK(refused.find("could be read day first or year first, e.g. '24-03-04") != std::string::npos);
  CHECK(refused.find("--column time=\"time\":dmy or --column time=\"time\":ymd") !=
        std::string::npos);
  CHECK(first_instant(read(unclear, choosing({"time=time:ymd"}))) == "2024-03-04T05:06:07");
  CHECK(first_instant(with_times({"03/25/24 05:06:07", "03/25/24 05:06:08"})) ==
        "2024-03-25T05:06:07");
}

TEST_CASE("the order of dates is told by a form in the heading, and by the turn of a day") {
  CHECK(first_instant(with_times({"03/04/2024 05:06:07", "03/04/2024 05:06:08"},
                                 "Time (dd/mm/yyyy hh:mm:ss)")) == "2024-04-03T05:06:07");
  const Recording turn = with_times({"04/03/2024 23:59:59", "04/04/2024 00:00:01"});
  CHECK(first_instant(turn) == "2024-04-03T23:59:59");
  CHECK(turn.time_s[1] == 2.0);
  CHECK(has_note(turn, "the dates are read month first, as they go on to the next day"));
  // A month apart in one order and a day in the other, but no drive that goes on.
  CHECK(refusal("time,ect\n04/03/2024 08:00:00,90\n04/04/2024 18:00:00,90\n")
            .find("day first or month first") != std::string::npos);
}

TEST_CASE("dates with points are day first, and said to be") {
  const Recording log = with_times({"04.03.2024 05:06:07", "04.03.2024 05:06:08"});
  CHECK(first_instant(log) == "2024-03-04T05:06:07");
  CHECK(has_note(log, "dates with points, e.g. '04.03.2024 05:06:07', are read day first"));
  CHECK_FALSE(has_note(with_times({"14.03.2024 05:06:07", "14.03.2024 05:06:08"}), "points"));
}

TEST_CASE("a clock without a date rolls over midnight") {
  const Recording log = with_times({"23:59:58.5", "23:59:59", "00:00:01", "00:00:02"});
  CHECK(log.how.clock == "clock time");
  CHECK(log.clock.kind == ClockKind::clock_of_day);
  CHECK(log.time_s == std::vector<double>{0.0, 0.5, 2.5, 3.5});
  CHECK(with_times({"11:59:59 PM", "12:00:01 AM"}).time_s[1] == 2.0);
}

TEST_CASE("digits that go on at each 59 as a clock does are one") {
  const auto clock = [](const std::vector<std::string>& times) {
    const Recording log = with_times(times);
    CHECK(log.how.clock == "clock time");
    CHECK(log.clock.kind == ClockKind::clock_of_day);
    CHECK(has_note(log, "time has no unit: its digits are read as hours, minutes and seconds"));
    return log;
  };
  const Recording morning = clock({"085957", "085958", "085959", "090000", "090001"});
  CHECK(morning.time_s == std::vector<double>{0.0, 1.0, 2.0, 3.0, 4.0});
  CHECK(first_instant(morning) == "08:59:57");
  CHECK(clock({"85957", "85958", "85959", "90000"}).time_s[3] == 3.0);
  CHECK(clock({"235957.50", "235958.50", "235959.50", "000000.50"}).time_s[3] == 3.0);
  CHECK(clock({"142540", "142550", "142600", "142610"}).time_s[3] == 30.0);
  // Without a new minute, only zeros in front tell.
  CHECK(clock({"081510", "081511", "081512"}).time_s[2] == 2.0);
  CHECK(with_times({"141510", "141511", "141512"}).how.clock == "seconds");
}

TEST_CASE("counts that happen to look like a clock for a while are none") {
  CHECK(with_times({"57", "58", "59", "100", "101"}).how.clock == "seconds");
  CHECK(with_times({"85957", "85958", "85959", "85960", "85961"}).how.clock == "seconds");
  CHECK(with_times({"0", "100", "200", "300", "400"}).how.clock == "milliseconds");
  CHECK(with_times({"0", "50", "100", "150", "200", "250"}).how.clock == "seconds");
  CHECK(with_times({"085957", "085958", "085959", "090000"}, "time_ms").how.clock ==
        "milliseconds");
  CHECK(with_times({"0.0000", "0.0667", "0.1333", "0.2000"}).how.clock == "seconds");
  // A hole of any other size is no new minute.
  CHECK(with_times({"12057", "12058", "12059", "12110", "12111"}).how.clock == "seconds");
}

TEST_CASE("digits are a clock where that is stated, and go with a date beside them") {
  CHECK(with_times({"141510", "141512"}, "time", choosing({"time=time:hhmmss"})).time_s[1] == 2.0);
  CHECK(with_times({"141510.0", "141512.5"}, "Time (hhmmss.s)").time_s[1] == 2.5);
  CHECK(refusal("Time (hhmmss),ECT\n141577,90\n141578,91\n")
            .find("cannot be read as a time: e.g. "
                  "'141577'") != std::string::npos);
  const Recording dated = read("Date,Time,coolant_c\n2031-05-03,235958,80\n2031-05-03,235959,80\n"
                               "2031-05-04,000000,81\n2031-05-04,000001,82\n");
  CHECK(dated.clock.kind == ClockKind::date_time);
  CHECK(dated.time_s == std::vector<double>{0.0, 1.0, 2.0, 3.0});
}

TEST_CASE("minutes and seconds with a fraction start again at the hour") {
  const Recording log = with_times({"59:58.0", "59:59.5", "00:01.0"});
  CHECK(log.how.clock == "minutes and seconds");
  CHECK(log.time_s == std::vector<double>{0.0, 1.5, 3.0});
  CHECK(listed(log.how.clock_events) ==
        "clock starts again at 0 after 60 min (time goes on) x1 @3:4");
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
  const char* text = "Date,Time,ECT\n03/04/2024,23:59:57,90\n03/04/2024,23:59:59,91\n";
  const std::string refused = refusal(text);
  CHECK(refused.find("log:1:1: the dates could be read day first or month first") == 0);
  CHECK(refused.find("--column time=\"Time\":dmy") != std::string::npos);
  const Recording log = read(text, choosing({"time=Time:dmy"}));
  CHECK(first_instant(log) == "2024-04-03T23:59:57");
  CHECK(log.time_s[1] == 2.0);
  CHECK(first_instant(read("Date,Time,ECT\n03/04/2024,23:59:59,90\n04/04/2024,00:00:01,91\n")) ==
        "2024-04-03T23:59:59");
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

TEST_CASE("spreadsheet days in steps of minutes, fractions of a day and days that are stated") {
  // Ten minutes are 1/144 of a day.
  const Recording log = with_times({"45355.5", "45355.5069444444", "45355.5138888889"});
  CHECK(log.how.clock == "spreadsheet days");
  CHECK(log.time_s[2] == doctest::Approx(1200.0).epsilon(1e-6));
  CHECK(has_note(log, "counted from 1899-12-30, not from 1904"));
  CHECK(with_times({"45355.50", "45355.51", "45355.52"}).how.clock == "seconds");
  const Recording fraction = with_times({"0.5", "0.500011574074", "0.500023148148"});
  CHECK(fraction.how.clock == "fractions of a day");
  CHECK(first_instant(fraction) == "12:00:00");
  CHECK(fraction.time_s[2] == doctest::Approx(2.0).epsilon(1e-4));
  CHECK(with_times({"0.5", "0.6", "0.7"}).how.clock == "seconds");
  const Recording stated = with_times({"1", "1.25", "1.5"}, "Time (days)");
  CHECK(stated.how.clock == "days");
  CHECK(stated.time_s[1] == 21600.0);
  CHECK(with_times({"45355", "45355.25"}, "time", choosing({"time=time:days"})).how.clock ==
        "spreadsheet days");
}

TEST_CASE("Julian days and hours are told by their size and steps") {
  // 2031-05-03 08:55:00, and 2 s later.
  const Recording julian = with_times({"2462989.87152778", "2462989.87155093", "2462989.87157407"});
  CHECK(julian.how.clock == "Julian days");
  CHECK(first_instant(julian).starts_with("2031-05-03T08:5"));
  CHECK(julian.time_s[1] == doctest::Approx(2.0).epsilon(0.01));
  const Recording modified = with_times({"62989.37152778", "62989.37155093", "62989.37157407"});
  CHECK(modified.how.clock == "modified Julian days");
  CHECK(first_instant(modified).starts_with("2031-05-03T08:5"));
  const Recording run = with_times({"0", "0.000556", "0.001111", "0.001667"});
  CHECK(run.how.clock == "hours");
  CHECK(run.time_s[2] == doctest::Approx(4.0).epsilon(1e-3));
  CHECK(has_note(run, "time has no unit: by its size and steps it counts hours"));
  CHECK(with_times({"8.916667", "8.917222", "8.917778"}).how.clock == "hours");
  CHECK(with_times({"0", "0.0000116", "0.0000231", "0.0000347"}).how.clock == "days");
}

TEST_CASE("what is no time comes with what to do about it") {
  CHECK(refusal("time,coolant_c\n2031-05-03T08:00:00 CET,80\n2031-05-03T08:00:01 CET,80\n")
            .find("names of zones such as CET are not read") != std::string::npos);
  CHECK(refusal("time (s),coolant_c\n1951895700000,80\n1951895701000,80\n")
            .find("state its unit, e.g. --column time=\"time (s)\":ms") != std::string::npos);
  CHECK(
      refusal("time,coolant_c\n09.15.00,80\n09.15.01,80\n").find("write clock times with colons") !=
      std::string::npos);
}

TEST_CASE("times that are no times are quoted") {
  CHECK(refusal("Time,ECT\n638000321000000000,90\n638000321010000000,91\n")
            .find("cannot be read as a time: e.g. '638000321000000000'") != std::string::npos);
  CHECK(with_times({"2031/05/03-08:55:00", "2031/05/03-08:55:02"}).time_s[1] == 2.0);
}

TEST_CASE("steps tell microseconds and nanoseconds too") {
  CHECK(with_times({"0", "100000", "200000"}).how.clock == "microseconds");
  CHECK(with_times({"0", "100000000", "200000000"}).how.clock == "nanoseconds");
  CHECK(with_times({"0", "100", "200"}).how.clock == "milliseconds");
  CHECK(with_times({"0", "99", "198"}).how.clock == "seconds");
}

TEST_CASE("times of two parts are minutes or hours by what stands beside them") {
  const std::string unclear = refusal("Time,ECT\n12:34,90\n12:35,90\n");
  CHECK(unclear == "log:1:1: times such as '12:34' could be hours and minutes or minutes and "
                   "seconds\n  Time,ECT\n  ^\n  say which with --column time=\"Time\":hh:mm or "
                   "--column time=\"Time\":mm:ss");
  const std::vector<std::string> times{"12:34", "12:35", "12:36"};
  CHECK(with_times(times, "Time", choosing({"time=Time:mm:ss"})).time_s[2] == 2.0);
  CHECK(with_times(times, "Time", choosing({"time=Time:hh:mm"})).time_s[2] == 120.0);
  CHECK(with_times(times, "Time (mm:ss)").time_s[2] == 2.0);
  CHECK(with_times(times, "Time [min]").time_s[2] == 2.0);
  CHECK(with_times(times, "Zeit hh:mm").time_s[2] == 120.0);
  CHECK(read("Time,ECT\nmm:ss,C\n12:34,90\n12:35,90\n").time_s[1] == 1.0);
  const Recording above = with_times({"23:59", "24:01"});
  CHECK(above.time_s[1] == 2.0);
  CHECK(has_note(above, "as their first part goes above 23"));
  const Recording watch = with_times({"0:58", "0:59", "1:00:01"});
  CHECK(watch.time_s == std::vector<double>{0.0, 1.0, 3543.0});
  CHECK(has_note(watch, "as times with hours stand beside them"));
  CHECK(with_times({"1:34 PM", "1:35 PM"}).time_s[1] == 60.0);
  CHECK(read("Date,Time,ECT\n2024-03-04,12:34,90\n2024-03-04,12:35,90\n").time_s[1] == 60.0);
  CHECK(refusal("Time,ECT\n23:59,90\n24:00,90\n").find("could be hours") != std::string::npos);
}

TEST_CASE("a stop watch in hours is time run") {
  const Recording beyond = with_times({"23:59:59", "24:00:00", "24:00:01"});
  CHECK(beyond.clock.kind == ClockKind::elapsed);
  CHECK(beyond.time_s == std::vector<double>{0.0, 1.0, 2.0});
  const Recording zero = with_times({"0:00:00", "0:00:01", "0:00:02"});
  CHECK(zero.clock.kind == ClockKind::elapsed);
  CHECK(has_note(zero, "the clock times start at 0"));
  CHECK(with_times({"PT0S", "PT1S", "PT1M"}).time_s[2] == 60.0);
}

TEST_CASE("cells of the other sort, with a zone or without, are set aside") {
  const Recording log =
      with_times({"2024-03-04T05:06:07Z", "2024-03-04T05:06:08", "2024-03-04T05:06:09Z"});
  CHECK(log.time_s == std::vector<double>{0.0, 2.0});
  CHECK(listed(log.how.set_aside) == "time not readable x1 @2:3");
}

TEST_CASE("a unit that texts cannot have is said to be unused") {
  CHECK(has_note(with_times({"2024-03-04 05:06:07", "2024-03-04 05:06:08"}, "time_s"),
                 "the unit s of the time column is not used"));
}

TEST_CASE("a log with the newest row first is read from its end") {
  const Recording log = read("time,coolant_c,trip\n00:00:02,93.5,b\n00:00:01,,b\n23:59:59,91,a\n"
                             "23:59:58,90.25,\n");
  CHECK(has_note(log, "the newest row stands first"));
  CHECK(log.time_s == std::vector<double>{0.0, 1.0, 3.0, 4.0});
  CHECK(first_instant(log) == "23:59:58");
  CHECK(log.column(Role::coolant)[0] == 90.25F);
  CHECK(std::isnan(log.column(Role::coolant)[2]));
  CHECK(log.column(Role::coolant)[3] == 93.5F);
  CHECK(log.row_map.at(0).line == 5);
  CHECK(log.row_map.at(3).row == 1);
  REQUIRE(log.text_changes.size() == 2);
  CHECK(log.text_changes[1].index == 2);
  CHECK(log.text_changes[1].text == "b");
}

TEST_CASE("a long log turned round equals the same log the right way round") {
  const auto line = [](int i) {
    return std::to_string(i / 3) + "," + std::to_string(70 + i % 23) + (i % 5 == 0 ? ".25" : "") +
           "," +
           (i % 11 == 0    ? ""
            : i % 7000 < 3 ? "0.123456789"
                           : std::to_string(i * 3)) +
           "\n";
  };
  const std::string head = "time_s,coolant_f,rpm\n";
  std::string forward = head;
  std::string backward = head;
  for (int i = 0; i < 10000; ++i) {
    forward += line(i);
    backward += line(9999 - i);
  }
  const Recording a = read(forward);
  const Recording b = read(backward);
  CHECK(a.time_s == b.time_s);
  CHECK(a.clock.start_s == b.clock.start_s);
  for (const Role role : {Role::coolant, Role::rpm}) {
    const Column& one = a.column(role);
    const Column& two = b.column(role);
    REQUIRE(one.size() == two.size());
    for (std::size_t i = 0; i < one.size(); ++i) {
      if (std::isnan(one[i]) != std::isnan(two[i]) || (!std::isnan(one[i]) && one[i] != two[i]))
        FAIL(i);
    }
  }
  CHECK(b.row_map.at(0).row == 10000);
}
