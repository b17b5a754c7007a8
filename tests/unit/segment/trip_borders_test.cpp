// SPDX-License-Identifier: Apache-2.0
// A long stop of the engine parts two trips though the rows go on.
#include "segment/trip_borders.hpp"

#include "support/edit_columns.hpp"
#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <string>
#include <utility>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

struct Part {
  std::size_t minutes;
  float rpm;
  float speed;
};

/// One row every ten seconds.
Recording drive(const std::vector<Part>& parts) {
  std::vector<float> rpm;
  std::vector<float> speed;
  for (const Part& part : parts) {
    append(rpm, 6 * part.minutes, part.rpm);
    append(speed, 6 * part.minutes, part.speed);
  }
  Recording recording = made_recording(10.0, std::vector<float>(rpm.size(), 80.0F));
  recording.column(Role::rpm) = rpm;
  recording.column(Role::speed) = speed;
  return recording;
}

std::vector<TripBorder> borders_of(const Recording& recording) {
  return trip_borders(recording, condition(recording), {});
}

constexpr Part k_driving{20, 2000.0F, 60.0F};

} // namespace

TEST_CASE("the engine stands for half an hour: the restart begins a trip, the stop ends the last") {
  const auto borders = borders_of(drive({k_driving, {30, 0.0F, 0.0F}, k_driving}));
  REQUIRE(borders.size() == 2);
  CHECK(borders[1].first_row == 6 * 50);
  CHECK(*borders[1].rest_s == 1800.0);
  CHECK_FALSE(borders[0].rest_s);
  CHECK(borders_of(drive({k_driving, {29, 0.0F, 0.0F}, k_driving})).size() == 1);
}

TEST_CASE("a noisy zero still stands, and missing engine speeds do not end a stop") {
  CHECK(borders_of(drive({k_driving, {40, 60.0F, 0.0F}, k_driving})).size() == 2);
  CHECK(
      borders_of(
          drive({k_driving, {15, 0.0F, 0.0F}, {5, k_no_value, 0.0F}, {15, 0.0F, 0.0F}, k_driving}))
          .size() == 2);
  // A code (FFFF at 0.125 rpm, SAE J1939-71) is no engine speed.
  CHECK(borders_of(
            drive({k_driving, {20, 0.0F, 0.0F}, {5, 8191.875F, 0.0F}, {20, 0.0F, 0.0F}, k_driving}))
            .size() == 2);
}

TEST_CASE("without engine speed no stop is seen") {
  CHECK(borders_of(drive({k_driving, {60, k_no_value, 0.0F}, k_driving})).size() == 1);
}

TEST_CASE("a vehicle that drives with its engine off is under way") {
  CHECK(borders_of(drive({k_driving, {40, 0.0F, 50.0F}, k_driving})).size() == 1);
}

TEST_CASE("a stop before the engine first runs belongs to the first trip") {
  CHECK(borders_of(drive({{60, 0.0F, 0.0F}, k_driving})).size() == 1);
}

TEST_CASE("two long stops make three trips") {
  const auto borders =
      borders_of(drive({k_driving, {40, 0.0F, 0.0F}, k_driving, {50, 0.0F, 0.0F}, k_driving}));
  REQUIRE(borders.size() == 3);
  CHECK(*borders[2].rest_s == 3000.0);
}

TEST_CASE("a stop that ends in a hole of the log counts from where the engine stopped") {
  Recording recording = drive({k_driving, {20, 0.0F, 0.0F}, k_driving});
  for (std::size_t row = 6 * 40; row < recording.size(); ++row)
    set_time(recording.time_s, row, recording.time_s[row] + 8.0 * 3600.0);
  const auto borders = borders_of(recording);
  REQUIRE(borders.size() == 2);
  CHECK(*borders[1].rest_s == 8.0 * 3600.0 + 1200.0);
}

TEST_CASE("the rest is not known over another vehicle or a clock that was set anew") {
  Recording recording = drive({k_driving, k_driving});
  recording.text_changes = {{0, Role::vehicle, "V1"}, {120, Role::vehicle, "V2"}};
  auto borders = borders_of(recording);
  REQUIRE(borders.size() == 2);
  CHECK_FALSE(borders[1].rest_s);
  CHECK(borders[1].vehicle_id == "V2");

  recording.text_changes.clear();
  for (std::size_t row = 120; row < recording.size(); ++row)
    set_time(recording.time_s, row, recording.time_s[row] - 1200.0);
  borders = borders_of(recording);
  REQUIRE(borders.size() == 2);
  CHECK_FALSE(borders[1].rest_s);
}

TEST_CASE("each trip of many carries the text that holds where it begins") {
  Recording recording = made_recording(1.0, std::vector<float>(3000, 80.0F));
  recording.text_changes = {{0, Role::vehicle, "V"}};
  for (std::size_t row = 0; row < 3000; row += 3)
    recording.text_changes.push_back({row, Role::trip, "t" + std::to_string(row)});
  const auto borders = borders_of(recording);
  REQUIRE(borders.size() == 1000);
  for (std::size_t i = 0; i < borders.size(); ++i) {
    CHECK(borders[i].trip_id == "t" + std::to_string(3 * i));
    CHECK(borders[i].vehicle_id == "V");
  }
}
