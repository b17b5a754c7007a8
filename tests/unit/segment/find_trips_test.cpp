// SPDX-License-Identifier: Apache-2.0
// Where one trip ends and the next begins, and what is measured of each.
#include "coolband/segment/trip.hpp"

#include "support/edit_columns.hpp"
#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

std::vector<Trip> trips_of(const Recording& recording, const SegmentOptions& options = {}) {
  return find_trips(recording, condition(recording), options);
}

Recording steady(std::size_t rows, double period_s = 1.0, float value = 80.0F) {
  return made_recording(period_s, std::vector<float>(rows, value));
}

double resolution(std::vector<float> coolant) {
  return trips_of(made_recording(1.0, std::move(coolant))).front().resolution_c;
}

} // namespace

TEST_CASE("a hole of more than half an hour parts two trips, a shorter one does not") {
  std::vector<double> time_s;
  for (int i = 0; i < 100; ++i) time_s.push_back(i);
  for (int i = 0; i < 100; ++i) time_s.push_back(1898.0 + i); // 1799 s after row 99
  CHECK(trips_of(made_recording(time_s, std::vector<float>(200, 80.0F))).size() == 1);
  for (std::size_t i = 100; i < 200; ++i) time_s[i] += 2.0;
  const auto trips = trips_of(made_recording(time_s, std::vector<float>(200, 80.0F)));
  REQUIRE(trips.size() == 2);
  CHECK(trips[0].last_row == 99);
  CHECK(trips[1].first_row == 100);
  CHECK(trips[1].start_s == 1900.0);
  CHECK(trips[1].duration_s == 99.0);
}

TEST_CASE("a clock that steps back starts a trip, one that stands still does not") {
  CHECK(trips_of(made_recording({0, 1, 2, 0, 1, 2}, {80, 80, 80, 80, 80, 80})).size() == 2);
  CHECK(trips_of(made_recording({0, 1, 1, 1, 2, 3}, {80, 80, 80, 80, 80, 80})).size() == 1);
}

TEST_CASE("a change of the trip or vehicle column starts a trip and names it") {
  Recording recording = steady(30);
  recording.text_changes = {{0, Role::vehicle, "V1"},
                            {0, Role::trip, "a"},
                            {10, Role::trip, "b"},
                            {20, Role::trip, "c"},
                            {20, Role::vehicle, "V2"}};
  const auto trips = trips_of(recording);
  REQUIRE(trips.size() == 3);
  CHECK(trips[0].trip_id == "a");
  CHECK(trips[1].trip_id == "b");
  CHECK(trips[1].vehicle_id == "V1");
  CHECK(trips[2].vehicle_id == "V2");
  CHECK(trips[2].first_row == 20);
}

TEST_CASE("every row belongs to exactly one trip") {
  const auto trips =
      trips_of(made_recording({5, 6, 0, 1, 9000, 9001}, std::vector<float>(6, 50.0F)));
  REQUIRE(trips.size() == 3);
  std::size_t next = 0;
  for (const Trip& trip : trips) {
    CHECK(trip.first_row == next);
    next = trip.last_row + 1;
  }
  CHECK(next == 6);
  CHECK(trips_of(Recording{}).empty());
}

TEST_CASE("sensor events go to the trip in which they begin") {
  Recording recording = steady(40);
  set_value(recording.column(Role::coolant), 30, -40.0F);
  recording.text_changes = {{20, Role::trip, "b"}};
  const auto trips = trips_of(recording);
  REQUIRE(trips.size() == 2);
  CHECK(trips[0].sensor_events.empty());
  CHECK(trips[1].sensor_events.size() == 1);
  CHECK(trips[1].usable_rows == 19);
}

TEST_CASE("the step of the reading is recognised in the usual encodings") {
  CHECK(resolution({20, 21, 40, 80, 81}) == 1.0);
  CHECK(resolution({20.5F, 21, 40.5F, 80, 81}) == 0.5);
  CHECK(resolution({20.1F, 21.7F, 40, 80.3F}) == doctest::Approx(0.1));
  CHECK(resolution({20.13F, 21.7F, 40, 80.3F}) == 0.0);
  // Whole kelvin less 273.15, and whole °F.
  CHECK(resolution({19.85F, 20.85F, 79.85F}) == 1.0);
  std::vector<float> fahrenheit;
  for (int f = 68; f < 180; f += 3)
    fahrenheit.push_back(static_cast<float>((static_cast<double>(f) - 32.0) / 1.8));
  CHECK(resolution(fahrenheit) == doctest::Approx(1.0 / 1.8));
}

TEST_CASE("distance follows the road speed and does not bridge long holes") {
  Recording recording = steady(3601);
  CHECK_FALSE(trips_of(recording).front().distance_km);
  fill(recording, Role::speed, 60.0F);
  CHECK(*trips_of(recording).front().distance_km == doctest::Approx(60.0));
  for (std::size_t i = 1800; i < recording.size(); ++i)
    set_time(recording.time_s, i, recording.time_s[i] + 600.0);
  CHECK(*trips_of(recording).front().distance_km == doctest::Approx(60.0).epsilon(0.001));
}

TEST_CASE("the sampling period is the median step, the longest hole the greatest") {
  Recording recording = steady(100, 2.0);
  for (std::size_t i = 50; i < 100; ++i) set_time(recording.time_s, i, recording.time_s[i] + 100.0);
  const Trip trip = trips_of(recording).front();
  CHECK(trip.sample_period_s == 2.0);
  CHECK(trip.longest_gap_s == 102.0);
}

TEST_CASE("blocks take ten seconds whatever the sampling, and never span a gap") {
  CHECK(trips_of(steady(600, 1.0)).front().blocks.size() == 60);
  CHECK(trips_of(steady(6000, 0.1)).front().blocks.size() == 60);
  CHECK(trips_of(steady(60, 10.0)).front().blocks.size() == 60);
  CHECK(trips_of(steady(20, 30.0)).front().blocks.size() == 20);

  Recording recording = steady(100);
  for (std::size_t i = 45; i < 100; ++i) set_time(recording.time_s, i, recording.time_s[i] + 300.0);
  const Blocks blocks = trips_of(recording).front().blocks;
  for (std::size_t i = 0; i < blocks.size(); ++i) CHECK(blocks.end_s[i] - blocks.start_s[i] < 11.0);
  std::size_t rows = 0;
  for (std::size_t i = 0; i < blocks.size(); ++i)
    rows += blocks.last_row[i] - blocks.first_row[i] + 1;
  CHECK(rows == 100);
}

TEST_CASE("rows of one time are one block, however coarse the clock") {
  for (const double tick_s : {1.0, 5.0, 20.0, 60.0}) {
    CAPTURE(tick_s);
    Recording recording = steady(3000);
    for (std::size_t i = 0; i < recording.size(); ++i)
      set_time(recording.time_s, i, std::floor(recording.time_s[i] / tick_s) * tick_s);
    const Trip trip = trips_of(recording).front();
    double seconds = 0.0;
    for (std::size_t i = 0; i < trip.blocks.size(); ++i)
      seconds += trip.blocks.end_s[i] - trip.blocks.start_s[i] + trip.sample_period_s;
    CHECK(seconds == doctest::Approx(3000.0).epsilon(0.001));
  }
}

TEST_CASE("a jittering clock does not change the number of blocks") {
  Recording recording = steady(600);
  Noise noise(3);
  for (std::size_t i = 0; i < recording.size(); ++i)
    set_time(recording.time_s, i, recording.time_s[i] + 0.2 * noise.next());
  CHECK(std::abs(static_cast<int>(trips_of(recording).front().blocks.size()) - 60) <= 1);
}

TEST_CASE("a block's coolant is the mean of its good rows only") {
  Recording recording = steady(20);
  set_value(recording.column(Role::coolant), 3, -40.0F);
  set_value(recording.column(Role::coolant), 4, k_no_value);
  set_value(recording.column(Role::coolant), 5, 82.0F);
  const Blocks blocks = trips_of(recording).front().blocks;
  REQUIRE(blocks.size() == 2);
  CHECK(blocks.coolant[0] == doctest::Approx((7.0 * 80.0 + 82.0) / 8.0));
  CHECK(blocks.coolant[1] == 80.0F);
}

TEST_CASE("at a standstill the air is what it was under way, however warm its sensor gets") {
  Recording recording = steady(2400);
  fill(recording, Role::ambient, 20.0F);
  fill(recording, Role::speed, 50.0F);
  const auto from = [&](std::size_t row, std::size_t to, float air_c, float speed_kmh) {
    for (; row < to; ++row) {
      set_value(recording.column(Role::ambient), row, air_c);
      set_value(recording.column(Role::speed), row, speed_kmh);
    }
  };
  from(600, 1200, 32.0F, 0.0F);   // stands, and the sensor is warmed
  from(1200, 1400, 28.0F, 50.0F); // moves off: the heat is blown away
  from(1800, 2000, 17.0F, 0.0F);  // stands in colder air
  from(2000, 2400, 26.0F, 50.0F); // drives into warmer air
  const Blocks blocks = trips_of(recording).front().blocks;
  CHECK(blocks.ambient[90] == 20.0F);
  CHECK(blocks.ambient[130] == 20.0F);
  CHECK(blocks.ambient[150] == 20.0F);
  CHECK(blocks.ambient[190] == 17.0F);
  CHECK(blocks.ambient[239] == 26.0F); // not soaked any more after 5 min
  recording.column(Role::speed) = Column();
  CHECK(trips_of(recording).front().blocks.ambient[90] == 32.0F); // nothing tells of standing
}

TEST_CASE("a slow column holds its last value, but not for ever") {
  Recording recording = steady(1300);
  recording.column(Role::ambient).assign(1300, k_no_value);
  set_value(recording.column(Role::ambient), 0, 12.0F);
  fill(recording, Role::load, 40.0F);
  for (std::size_t i = 100; i < 1300; ++i) set_value(recording.column(Role::load), i, k_no_value);
  const Blocks blocks = trips_of(recording).front().blocks;
  CHECK(blocks.ambient[50] == 12.0F);
  CHECK(std::isnan(blocks.ambient[100])); // 1000 s after the only value
  CHECK(blocks.load[12] == 40.0F);
  CHECK(std::isnan(blocks.load[20]));
}

TEST_CASE("lagged load follows a step with its time constant") {
  Recording recording = steady(600);
  fill(recording, Role::load, 20.0F);
  for (std::size_t i = 300; i < 600; ++i) set_value(recording.column(Role::load), i, 80.0F);
  const Blocks blocks = trips_of(recording).front().blocks;
  CHECK(blocks.load_lagged[29] == doctest::Approx(20.0));
  CHECK(blocks.load_lagged[35] == doctest::Approx(80.0 - 60.0 * std::exp(-1.0)).epsilon(0.01));
  CHECK(blocks.load_lagged.back() > 79.0F);
}

TEST_CASE("readings that were converted and rounded, or corrected, are as coarse as they were") {
  // Whole °F as °C with one decimal, and whole °C plus 0.4: neither lies on a coarse grid.
  std::vector<float> rounded;
  std::vector<float> corrected;
  for (int i = 0; i < 600; ++i) {
    const int step = i / 5 % 40;
    rounded.push_back(std::round(10.0F * static_cast<float>(140 + step - 32) / 1.8F) / 10.0F);
    corrected.push_back(static_cast<float>(60 + step) + 0.4F);
  }
  CHECK(resolution(rounded) == doctest::Approx(0.55).epsilon(0.12));
  CHECK(resolution(corrected) == doctest::Approx(1.0).epsilon(1e-3));
  // Few and wide changes may be the drive's own.
  CHECK(resolution({60.3F, 64.1F, 70.7F, 75.2F}) == doctest::Approx(0.1));
}

TEST_CASE("no way is measured where no speed is held until the next row") {
  Recording recording = steady(20, 90.0);
  fill(recording, Role::speed, 60.0F);
  CHECK_FALSE(trips_of(recording).front().distance_km);
}
