// SPDX-License-Identifier: Apache-2.0
// When an engine is warming up, settling, running warm or standing.
#include "coolband/segment/trip.hpp"

#include "support/edit_columns.hpp"
#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <optional>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// A drive at 1 Hz, made piece by piece.
struct Made {
  std::vector<float> coolant;
  std::vector<float> rpm;

  Made& ramp(std::size_t seconds, float from, float to, float speed_rpm = 1800.0F) {
    append_ramp(coolant, seconds, from, to);
    append(rpm, seconds, speed_rpm);
    return *this;
  }
  Made& hold(std::size_t seconds, float at, float speed_rpm = 1800.0F) {
    return ramp(seconds, at, at, speed_rpm);
  }
};

Trip trip_of(const Made& made, std::optional<double> level = std::nullopt) {
  Recording recording = made_recording(1.0, made.coolant);
  recording.column(Role::rpm) = made.rpm;
  SegmentOptions options;
  options.regulating_c = level;
  const auto trips = find_trips(recording, condition(recording), options);
  REQUIRE(trips.size() == 1);
  return trips.front();
}

double seconds_in(const Trip& trip, Phase phase) {
  double seconds = 0.0;
  for (std::size_t i = 0; i < trip.blocks.size(); ++i) {
    if (trip.blocks.phase[i] == phase)
      seconds += trip.blocks.end_s[i] - trip.blocks.start_s[i] + 1.0;
  }
  return seconds;
}

Phase phase_at(const Trip& trip, double time_s) {
  for (std::size_t i = 0; i < trip.blocks.size(); ++i) {
    if (time_s <= trip.blocks.end_s[i]) return trip.blocks.phase[i];
  }
  return trip.blocks.phase.back();
}

} // namespace

TEST_CASE("a cold start warms up until the reading is near its level, then runs warm") {
  const Made made = Made{}.ramp(600, 20, 80).hold(1200, 80);
  for (const auto level : {std::optional<double>{}, std::optional(80.0)}) {
    const Trip trip = trip_of(made, level);
    REQUIRE(trip.warm_ups.size() == 1);
    CHECK(trip.warm_ups[0].start_s == 0.0);
    CHECK(trip.warm_ups[0].from_c == doctest::Approx(20.45));
    REQUIRE(trip.warm_ups[0].reached_s);
    CHECK(*trip.warm_ups[0].reached_s == doctest::Approx(575.0).epsilon(0.05));
    CHECK(phase_at(trip, 300.0) == Phase::warm_up);
    CHECK(phase_at(trip, 700.0) == Phase::warm);
    CHECK(seconds_in(trip, Phase::warm) == doctest::Approx(1220.0).epsilon(0.03));
    CHECK(*trip.level_c == doctest::Approx(80.0));
  }
}

TEST_CASE("a start with the engine hot is no warm-up") {
  const Trip trip = trip_of(Made{}.hold(900, 79), 80.0);
  CHECK(trip.warm_ups.empty());
  CHECK(seconds_in(trip, Phase::warm) == 900.0);
}

TEST_CASE("a hot start far above the level settles for five minutes at most") {
  const Trip trip = trip_of(Made{}.hold(1200, 90), 80.0);
  CHECK(phase_at(trip, 100.0) == Phase::restart);
  CHECK(phase_at(trip, 250.0) == Phase::restart);
  CHECK(phase_at(trip, 330.0) == Phase::warm);
}

TEST_CASE("a stop of more than two minutes is followed by a restart, a shorter one is not") {
  const auto drive = [](std::size_t stop_s) {
    return trip_of(
        Made{}.ramp(600, 20, 80).hold(600, 80).hold(stop_s, 85, 0).ramp(100, 86, 80).hold(300, 80),
        80.0);
  };
  const Trip longer = drive(300);
  CHECK(phase_at(longer, 1250.0) == Phase::off);
  CHECK(phase_at(longer, 1510.0) == Phase::restart);
  CHECK(phase_at(longer, 1700.0) == Phase::warm);
  CHECK(longer.warm_ups.size() == 1);
  const Trip shorter = drive(100);
  CHECK(phase_at(shorter, 1250.0) == Phase::off);
  CHECK(phase_at(shorter, 1310.0) == Phase::warm);
}

TEST_CASE("a hole in the log is as good as a stop") {
  Recording recording = made_recording(1.0, std::vector<float>(1200, 80.0F));
  auto& coolant = recording.column(Role::coolant);
  for (std::size_t i = 600; i < 660; ++i) set_value(coolant, i, 86.0F);
  for (std::size_t i = 600; i < 1200; ++i)
    set_time(recording.time_s, i, recording.time_s[i] + 400.0);
  SegmentOptions options;
  options.regulating_c = 80.0;
  const Trip trip = find_trips(recording, condition(recording), options).front();
  CHECK(phase_at(trip, 1010.0) == Phase::restart);
  CHECK(phase_at(trip, 1100.0) == Phase::warm);
}

TEST_CASE("rows that are minutes apart are no restarts") {
  std::vector<float> coolant;
  append_ramp(coolant, 5, 20.0F, 80.0F);
  append(coolant, 20, 80.0F);
  const Recording recording = made_recording(300.0, coolant);
  const Trip trip = find_trips(recording, condition(recording)).front();
  CHECK(trip.warm_ups.size() == 1);
  CHECK(std::count(trip.blocks.phase.begin(), trip.blocks.phase.end(), Phase::restart) == 0);
}

TEST_CASE("an engine that cooled down over a long stop warms up again") {
  Made made = Made{}.ramp(600, 20, 80).hold(600, 80).ramp(1500, 80, 40, 0).ramp(400, 40, 80);
  made.hold(600, 80);
  const Trip trip = trip_of(made, 80.0);
  REQUIRE(trip.warm_ups.size() == 2);
  CHECK(trip.warm_ups[1].from_c == doctest::Approx(40.0).epsilon(0.05));
  CHECK(trip.warm_ups[1].reached_s);
}

TEST_CASE("an engine that levels off below a known level is judged there, and never reached it") {
  const Trip trip = trip_of(Made{}.ramp(600, 20, 68).hold(1500, 68), 80.0);
  REQUIRE(trip.warm_ups.size() == 1);
  CHECK_FALSE(trip.warm_ups[0].reached_s);
  CHECK(seconds_in(trip, Phase::warm) > 1200.0);
  CHECK(*trip.level_c == doctest::Approx(68.0));
}

TEST_CASE("without a known level a low plateau is the trip's own level") {
  const Trip trip = trip_of(Made{}.ramp(600, 20, 68).hold(1500, 68));
  REQUIRE(trip.warm_ups.size() == 1);
  CHECK(trip.warm_ups[0].reached_s);
  CHECK(*trip.level_c == doctest::Approx(68.0));
}

TEST_CASE("a rest on the way up is still warm-up when the level is reached in good time") {
  // Ten minutes of driving, five of idling at 60, then on to the level.
  const Made made = Made{}.ramp(600, 20, 60).hold(300, 60).ramp(300, 60, 80).hold(900, 80);
  for (const auto level : {std::optional<double>{}, std::optional(80.0)}) {
    const Trip trip = trip_of(made, level);
    CHECK(phase_at(trip, 750.0) == Phase::warm_up);
    CHECK(phase_at(trip, 1000.0) == Phase::warm_up);
    CHECK(phase_at(trip, 1300.0) == Phase::warm);
    CHECK(trip.warm_ups.front().reached_s);
  }
}

TEST_CASE("a plateau that is left only after half an hour is no rest on the way up") {
  const Trip trip =
      trip_of(Made{}.ramp(600, 20, 66).hold(1800, 66).ramp(300, 66, 80).hold(300, 80), 80.0);
  CHECK(phase_at(trip, 900.0) == Phase::warm);
  CHECK_FALSE(trip.warm_ups.front().reached_s);
}

TEST_CASE("a trip that ends while still warming up never ran warm") {
  const Trip trip = trip_of(Made{}.ramp(500, 20, 60), 80.0);
  CHECK(seconds_in(trip, Phase::warm) == 0.0);
  CHECK_FALSE(trip.level_c);
  const Trip alone = trip_of(Made{}.ramp(500, 20, 60));
  CHECK(seconds_in(alone, Phase::warm) == 0.0);
  CHECK_FALSE(alone.level_c);
}

TEST_CASE("an engine that rises for ever has had its time after half an hour") {
  const Trip trip = trip_of(Made{}.ramp(3000, 10, 70), 90.0);
  CHECK(phase_at(trip, 1700.0) == Phase::warm_up);
  CHECK(phase_at(trip, 1850.0) == Phase::warm);
}

TEST_CASE("without engine speed nothing is called standing") {
  Recording recording = made_recording(1.0, std::vector<float>(600, 80.0F));
  const Trip trip = find_trips(recording, condition(recording)).front();
  CHECK(seconds_in(trip, Phase::off) == 0.0);
}

TEST_CASE("a trip without one believable reading has no level and no warm blocks") {
  Recording recording = made_recording(1.0, std::vector<float>(600, -40.0F));
  const Trip trip = find_trips(recording, condition(recording)).front();
  CHECK_FALSE(trip.level_c);
  CHECK(trip.usable_rows == 0);
  CHECK(seconds_in(trip, Phase::warm) == 0.0);
}
