// SPDX-License-Identifier: Apache-2.0
// What becomes of rows whose clock does not simply go on, and how it is counted.
#include "import/clock_watch.hpp"

#include "coolband/segment/trip.hpp"
#include "unit/import/import_helpers.hpp"

#include <random>

using namespace coolband;
using namespace coolband::test;

namespace {

/// A log of seconds in its first column.
Recording with_seconds(const std::vector<std::string>& times,
                       const std::string& heading = "time_s") {
  std::string text = heading + ",coolant_c\n";
  for (std::size_t i = 0; i < times.size(); ++i) text += times[i] + "," + std::to_string(i) + "\n";
  return read(text);
}

std::vector<std::string> counted(double from, double to) {
  std::vector<std::string> times;
  for (double t = from; t <= to; t += 1.0) times.push_back(std::to_string(static_cast<long>(t)));
  return times;
}

std::vector<std::string> joined(std::vector<std::string> a, const std::vector<std::string>& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

std::string events(const Recording& log) { return listed(log.how.clock_events); }
std::string aside(const Recording& log) { return listed(log.how.set_aside); }

} // namespace

TEST_CASE("a row a little earlier than the one before is set aside") {
  const Recording log = with_seconds({"0", "1", "2", "1.5", "3", "4"});
  CHECK(aside(log) == "time steps back x1 @4:5");
  CHECK(events(log).empty());
  CHECK(log.time_s == std::vector<double>{0, 1, 2, 3, 4});
}

TEST_CASE("one row far ahead is set aside alone, whatever it says") {
  for (const char* odd : {"100000", "3471292800", "1e10"}) {
    const Recording log = with_seconds({"10", "11", odd, "12", "13"});
    CHECK(aside(log) == "time leaps away from the rows around it x1 @3:4");
    CHECK(events(log).empty());
    CHECK(log.time_s == std::vector<double>{0, 1, 2, 3});
    CHECK(log.column(Role::coolant) == std::vector<float>{0, 1, 3, 4});
    CHECK(log.row_map.at(2).line == 5);
  }
  for (const char* absurd : {"1e300", "-1e12", "200000000000"}) {
    CHECK(aside(with_seconds({"10", "11", absurd, "12", "13"})) == "time not readable x1 @3:4");
  }
}

TEST_CASE("one row far behind is set aside alone") {
  const Recording log = with_seconds({"1000", "1001", "0", "1002", "1003"});
  CHECK(aside(log) == "time leaps away from the rows around it x1 @3:4");
  CHECK(log.time_s == std::vector<double>{0, 1, 2, 3});
}

TEST_CASE("rows that go on from a leap are a new trip") {
  const Recording log = with_seconds({"0", "1", "5000", "5001"});
  CHECK(events(log) == "pause or leap ahead, up to 83 min (a new trip starts) x1 @3:4");
  CHECK(log.time_s == std::vector<double>{0, 1, 5000, 5001});
  CHECK(log.row_map.at(2).row == 3);
}

TEST_CASE("a pause is a new trip from where trips are parted on, and a hole before that") {
  const double gap_s = SegmentOptions{}.trip_gap_s;
  const auto stepping = [](double step_s) {
    const auto to = static_cast<long>(1.0 + step_s);
    return with_seconds({"0", "1", std::to_string(to), std::to_string(to + 1)});
  };
  CHECK(events(stepping(gap_s)).starts_with("hole of more than 30 s"));
  CHECK(events(stepping(gap_s + 1.0)).starts_with("pause or leap ahead"));
}

TEST_CASE("a clock that leaps all the time is warned of") {
  std::vector<std::string> times;
  for (int i = 0; i < 20; ++i) times.push_back(std::to_string(2000 * i));
  CHECK(has_note(with_seconds(times),
                 "WARNING: the clock leaps ahead by more than half an hour in 19 of 19 steps"));
  const Recording once = with_seconds(joined(counted(0, 40), counted(5000, 5040)));
  CHECK_FALSE(has_note(once, "WARNING: the clock leaps"));
}

TEST_CASE("a leap in the last row is kept") {
  CHECK(with_seconds({"0", "1", "5000"}).time_s == std::vector<double>{0, 1, 5000});
  CHECK(with_seconds({"500", "501", "0"}).time_s == std::vector<double>{0, 1, -500});
}

TEST_CASE("a held row that cannot be used for another reason is counted once") {
  const Recording log = read("time_s,coolant_c\n0,1\n1,2\n5000,ERR\n5001,4\n5002,5\n");
  CHECK(aside(log) == "coolant is not a number x1 @3:4");
  CHECK(log.time_s == std::vector<double>{0, 1, 5001, 5002});
}

TEST_CASE("a run time that starts again is a new trip, however short the one before") {
  const Recording log = with_seconds(joined(counted(0, 40), counted(0, 5)));
  CHECK(events(log) == "clock set back, by up to 40 s (a new trip starts) x1 @42:43");
  CHECK(aside(log).empty());
  CHECK(log.size() == 47);
  CHECK(log.time_s[41] == 0.0);
}

TEST_CASE("holes are counted with the longest, and nothing is filled in") {
  const Recording log = with_seconds({"0", "1", "2", "33", "34", "134", "135", "136"});
  CHECK(events(log) == "hole of more than 30 s, up to 100 s (nothing is filled in) x2 @4:5");
  // At 10 s a row a hole is more than 100 s.
  CHECK(events(with_seconds({"0", "10", "20", "30", "129", "139", "149"})).empty());
}

TEST_CASE("a clock that stands still is warned of, a coarse one is described") {
  const Recording still = with_seconds({"7", "7", "7"});
  CHECK(has_note(still, "WARNING: the clock never advances"));
  CHECK(events(still) == "same time as the row before (kept) x2 @2:3");
  const Recording coarse = with_seconds({"0", "0", "0", "1", "1", "1", "2", "2", "2"});
  CHECK(has_note(coarse, "about 3 rows to each time"));
  CHECK(coarse.size() == 9);
}

TEST_CASE("a log that is not in the order of time is warned of, restarts and single rows are not") {
  std::vector<std::string> swapped = counted(0, 99);
  for (std::size_t i = 2; i + 1 < swapped.size(); i += 2) std::swap(swapped[i], swapped[i + 1]);
  CHECK(
      with_seconds(swapped).how.notes ==
      std::vector<std::string>{
          "WARNING: the rows do not stand in the order of time (49 of 100 are out of place): sort "
          "the log by its time and read it again"});

  std::vector<std::string> shuffled = counted(0, 3599);
  std::shuffle(shuffled.begin(), shuffled.end(), std::mt19937(7));
  const auto notes = with_seconds(shuffled).how.notes;
  REQUIRE(notes.size() == 1);
  CHECK(notes.front().find("do not stand in the order of time") != std::string::npos);

  std::vector<std::string> restarts;
  for (int i = 0; i < 40; ++i) restarts = joined(restarts, counted(0, 59));
  CHECK(with_seconds(restarts).how.notes.empty());
  std::vector<std::string> few = counted(0, 999);
  for (std::size_t i = 10; i < few.size(); i += 40) std::swap(few[i], few[i + 1]);
  CHECK(with_seconds(few).how.notes.empty());
}

// SAE J1979 limits the run time of PID 1F to 65535 s (two bytes; a table of the domain notes); from
// memory, it should stand still there, but counters that go on at 0 are seen.
TEST_CASE("a counter of two bytes rolls over or stands still at its end") {
  const Recording over = with_seconds({"65533", "65534", "65535", "0", "1"});
  CHECK(over.time_s == std::vector<double>{0, 1, 2, 3, 4});
  CHECK(events(over) == "clock starts again at 0 after 18 h 12 min (time goes on) x1 @4:5");
  const Recording still = with_seconds({"65533", "65534", "65535", "65535"});
  CHECK(still.time_s == std::vector<double>{0, 1, 2, 2});
  // Far from its end it was set anew.
  CHECK(with_seconds({"40000", "40001", "0", "1"}).time_s ==
        std::vector<double>{0, 1, -40000, -39999});
}

TEST_CASE("a counter of milliseconds rolls over at 32 bits") {
  const Recording log = with_seconds({"4294966000", "4294967000", "704", "1704"}, "time_ms");
  CHECK(log.time_s[2] == doctest::Approx(2.0));
  CHECK(log.time_s[3] == doctest::Approx(3.0));
}

TEST_CASE("the minutes of a stop watch set back in the middle are a new trip, not a new hour") {
  const Recording log = read("time,ect\n40:00.0,1\n40:01.0,2\n00:00.0,3\n00:01.0,4\n00:02.0,5\n");
  CHECK(log.time_s == std::vector<double>{0, 1, -2400, -2399, -2398});
}

TEST_CASE("local clocks that step by an hour are counted apart") {
  const auto local = [](const char* last, const char* first, const char* second) {
    return read("time,ect\n2024-10-27 01:59:58,1\n2024-10-27 " + std::string(last) +
                ",2\n2024-10-27 " + first + ",3\n2024-10-27 " + second + ",4\n");
  };
  const Recording back = local("01:59:59", "01:00:00", "01:00:01");
  CHECK(events(back) == "clock set back by an hour, as at the end of daylight saving time (a new "
                        "trip starts) x1 @3:4");
  CHECK(back.time_s[2] == -3598.0);
  CHECK(events(local("01:59:59", "03:00:00", "03:00:01")) ==
        "pause or leap ahead by an hour, as at the start of daylight saving time (a new trip "
        "starts) x1 @3:4");
}

TEST_CASE("the fast road and the slow one agree with a plain reading of the rules") {
  std::mt19937 random(20240304);
  for (int round = 0; round < 200; ++round) {
    ClockWatch watch({ClockKind::absolute, 1.0, {}});
    double now = 1e9;
    double last = 0.0;
    std::size_t row = 0;
    for (int i = 0; i < 300; ++i) {
      // Steps that need no holding: plain, none, holes and small ones back.
      const double steps[] = {1.0, 1.0, 0.5, 0.0, 31.0, 1799.0, -1.0, -59.0};
      const double time = now + steps[random() % 8];
      const TimeFate fate = watch.see(time, {++row, row + 1});
      const bool kept = i == 0 || time >= last;
      CHECK((fate == TimeFate::keep) == kept);
      if (kept) last = now = time;
      CHECK(watch.now_s() == last);
    }
  }
}
