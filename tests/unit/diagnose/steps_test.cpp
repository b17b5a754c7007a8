// SPDX-License-Identifier: Apache-2.0
// What steps to another level, and what only looks like it.
#include "diagnose/steps.hpp"

#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

Steps steps_of(const Recording& recording) {
  Trip trip;
  trip.last_row = recording.size() - 1;
  return find_steps(recording, trip);
}

/// `seconds` at 80 °C, then at `to_c`.
std::vector<float> stepping(float to_c, std::size_t seconds = 60) {
  std::vector<float> readings;
  append(readings, seconds, 80.0F);
  append(readings, seconds, to_c);
  return readings;
}

} // namespace

TEST_CASE("a level left from one row to the next, and not come back to, is a step either way") {
  CHECK(steps_of(made_recording(1.0, stepping(86.0F))).count == 1);
  CHECK(steps_of(made_recording(1.0, stepping(72.0F))).count == 1);
  CHECK(steps_of(made_recording(1.0, stepping(83.0F))).count == 0); // what coolant may just do
}

TEST_CASE("a sensor that comes and goes steps each time") {
  auto readings = stepping(88.0F);
  for (const float reading : stepping(88.0F)) readings.push_back(reading);
  CHECK(steps_of(made_recording(1.0, readings)).count == 3);
}

TEST_CASE("coolant that moves fast, or dips, does not step") {
  std::vector<float> fast;
  append(fast, 60, 80.0F);
  append_ramp(fast, 10, 80.0F, 95.0F); // 15 K in 10 s: a slug at the first opening
  append(fast, 60, 95.0F);
  CHECK(steps_of(made_recording(1.0, fast)).count == 0);
  auto dip = stepping(80.0F);
  for (std::size_t i = 60; i < 68; ++i) dip[i] = 60.0F;
  CHECK(steps_of(made_recording(1.0, dip)).count == 0);
}

TEST_CASE("noise and whole degrees do not step") {
  Noise noise(7);
  std::vector<float> readings;
  for (int i = 0; i < 600; ++i) readings.push_back(80.0F + static_cast<float>(1.5 * noise.next()));
  CHECK(steps_of(made_recording(1.0, readings)).count == 0);
}

TEST_CASE("where rows lie far apart, or the log has a hole, nothing is told") {
  const Steps slow = steps_of(made_recording(10.0, stepping(90.0F)));
  CHECK_FALSE(slow.seen);
  CHECK(slow.count == 0);
  std::vector<double> time_s;
  for (int i = 0; i < 120; ++i) time_s.push_back(i < 58 ? i : i + 30.0);
  CHECK(steps_of(made_recording(time_s, stepping(90.0F))).count == 0);
  auto torn = stepping(90.0F);
  torn[70] = k_no_value;
  CHECK(steps_of(made_recording(1.0, torn)).count == 0);
}

TEST_CASE("an open circuit is no level") {
  CHECK(steps_of(made_recording(1.0, stepping(-40.0F))).count == 0);
}
