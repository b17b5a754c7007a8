// SPDX-License-Identifier: Apache-2.0
// Which readings are believed: dropouts, spikes, steps, holes, resets.
#include "coolband/condition/condition.hpp"

#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

std::size_t count(const Conditioned& conditioned, Quality quality) {
  return static_cast<std::size_t>(
      std::count(conditioned.coolant.begin(), conditioned.coolant.end(), quality));
}

std::vector<float> steady(std::size_t rows, float value = 80.0F) {
  return std::vector<float>(rows, value);
}

} // namespace

TEST_CASE("a steady reading is good in every row") {
  const auto conditioned = condition(made_recording(1.0, steady(100)));
  CHECK(count(conditioned, Quality::good) == 100);
  CHECK(conditioned.events.empty());
}

TEST_CASE("a dropout to -40 is one event and costs only its own rows") {
  auto coolant = steady(100);
  std::fill_n(coolant.begin() + 40, 5, -40.0F);
  const auto conditioned = condition(made_recording(1.0, coolant));
  CHECK(count(conditioned, Quality::off_scale) == 5);
  CHECK(count(conditioned, Quality::good) == 95);
  REQUIRE(conditioned.events.size() == 1);
  const SensorEvent& event = conditioned.events.front();
  CHECK(event.kind == Quality::off_scale);
  CHECK(event.first_row == 40);
  CHECK(event.last_row == 44);
  CHECK(event.from_c == 80.0);
  CHECK(event.to_c == -40.0);
}

TEST_CASE("a real frost of -39 degrees is believed") {
  const auto conditioned = condition(made_recording(1.0, steady(10, -39.0F)));
  CHECK(count(conditioned, Quality::good) == 10);
}

TEST_CASE("a shorted circuit reads off the hot end") {
  auto coolant = steady(30);
  coolant[10] = 215.0F;
  const auto conditioned = condition(made_recording(1.0, coolant));
  CHECK(conditioned.coolant[10] == Quality::off_scale);
  CHECK(conditioned.events.front().to_c == 215.0);
}

TEST_CASE("a single spike is a jump, and the reading after it is good again") {
  auto coolant = steady(50);
  coolant[20] = 110.0F;
  const auto conditioned = condition(made_recording(1.0, coolant));
  CHECK(conditioned.coolant[20] == Quality::jump);
  CHECK(conditioned.coolant[21] == Quality::good);
  CHECK(conditioned.events.size() == 1);
}

TEST_CASE("a step that stays is believed once it has settled, and not before") {
  auto coolant = steady(40);
  append(coolant, 100, 60.0F);
  const auto conditioned = condition(made_recording(1.0, coolant));
  // 20 K need (20 - 6) / 1.5 = 9.3 s by the rate limit: rows 40 to 48 cannot be believed.
  for (std::size_t row = 40; row < 49; ++row) CHECK(conditioned.coolant[row] == Quality::jump);
  CHECK(conditioned.coolant[75] == Quality::good);
  CHECK(conditioned.coolant.back() == Quality::good);
  CHECK(conditioned.events.size() == 1);
}

TEST_CASE("a reading that flickers between two levels is never taken for settled") {
  auto coolant = steady(20);
  for (int i = 0; i < 60; ++i) coolant.push_back(i % 2 == 0 ? 20.0F : 140.0F);
  const auto conditioned = condition(made_recording(1.0, coolant));
  CHECK(std::none_of(conditioned.coolant.begin() + 20, conditioned.coolant.begin() + 45,
                     [](Quality q) { return q == Quality::good; }));
}

TEST_CASE("two kinds of trouble in a row are two events") {
  auto coolant = steady(60);
  std::fill_n(coolant.begin() + 20, 3, -40.0F);
  std::fill_n(coolant.begin() + 23, 3, 120.0F);
  const auto conditioned = condition(made_recording(1.0, coolant));
  REQUIRE(conditioned.events.size() == 2);
  CHECK(conditioned.events[0].kind == Quality::off_scale);
  CHECK(conditioned.events[1].kind == Quality::jump);
  CHECK(conditioned.events[1].first_row == 23);
}

TEST_CASE("after a hole in the log a stale reading and the jump to the new one are forgiven") {
  std::vector<double> time_s;
  std::vector<float> coolant;
  for (int i = 0; i < 60; ++i) {
    time_s.push_back(i);
    coolant.push_back(80.0F);
  }
  for (int i = 0; i < 60; ++i) {
    time_s.push_back(700.0 + i);
    coolant.push_back(i < 5 ? 80.0F : 60.0F); // the logger still shows the old reading
  }
  const auto conditioned = condition(made_recording(time_s, coolant));
  CHECK(count(conditioned, Quality::good) == 120);
  CHECK(conditioned.events.empty());
}

TEST_CASE("the same jump without a hole is not forgiven") {
  auto coolant = steady(65);
  append(coolant, 55, 60.0F);
  CHECK(condition(made_recording(1.0, coolant)).events.size() == 1);
}

TEST_CASE("a clock that starts anew starts a new drive: no jump is called") {
  std::vector<double> time_s{0, 1, 2, 3, 0, 1, 2, 3};
  const auto conditioned = condition(made_recording(time_s, {90, 90, 90, 90, 15, 15, 15, 15}));
  CHECK(count(conditioned, Quality::good) == 8);
}

TEST_CASE("rows without a reading are missing, and nothing is held against their neighbours") {
  auto coolant = steady(20);
  std::fill_n(coolant.begin() + 5, 4, k_no_value);
  const auto conditioned = condition(made_recording(1.0, coolant));
  CHECK(count(conditioned, Quality::missing) == 4);
  CHECK(count(conditioned, Quality::good) == 16);
  CHECK(conditioned.events.empty());
}

TEST_CASE("a log without any believable reading has none, and says so in one event") {
  const auto conditioned = condition(made_recording(1.0, steady(30, -40.0F)));
  CHECK(count(conditioned, Quality::off_scale) == 30);
  REQUIRE(conditioned.events.size() == 1);
  CHECK(conditioned.events.front().last_row == 29);
  CHECK(std::isnan(conditioned.events.front().from_c));
}

TEST_CASE("at one reading in ten seconds a cold slug of 15 K is no jump, 40 K is") {
  // 5-15 K in 10-20 s at the first opening: common practice, no source.
  CHECK(condition(made_recording(10.0, {80, 80, 65, 68, 72, 76, 80})).events.empty());
  CHECK(condition(made_recording(10.0, {80, 80, 40, 80, 80, 80, 80})).events.size() == 1);
}

TEST_CASE("impossible values of other columns are counted by column, missing ones are not") {
  Recording recording = made_recording(1.0, steady(6));
  recording.column(Role::load) = {50, -1, 151, k_no_value, 0, 150};
  recording.column(Role::speed) = {0, 350, 351, -5, 240, 90}; // 240: the road to 350 was seen
  recording.column(Role::ambient) = {-61, 66, 20, 20, 20, 20};
  const auto conditioned = condition(recording);
  CHECK(conditioned.implausible[static_cast<std::size_t>(Role::load)] == 2);
  CHECK(conditioned.implausible[static_cast<std::size_t>(Role::speed)] == 2);
  CHECK(conditioned.implausible[static_cast<std::size_t>(Role::ambient)] == 2);
  CHECK(conditioned.implausible[static_cast<std::size_t>(Role::rpm)] == 0);
  CHECK_FALSE(plausible(Role::load, k_no_value));
}

TEST_CASE("road and engine speeds in the range of the codes need to have been seen just below it") {
  // SAE J1939-71, from memory: 254 km/h and 8128 rpm begin the error range of two bytes.
  Recording recording = made_recording(1.0, steady(5));
  recording.column(Role::speed) = {100, 254.5F, 255, 255.9F, 110};
  recording.column(Role::rpm) = {2000, 8128, 8191.875F, 8160, 2100};
  auto conditioned = condition(recording);
  CHECK(conditioned.implausible[static_cast<std::size_t>(Role::speed)] == 3);
  CHECK(conditioned.implausible[static_cast<std::size_t>(Role::rpm)] == 3);
  CHECK_FALSE(conditioned.believes(Role::speed, 255.0F));
  CHECK(conditioned.believes(Role::speed, 253.9F));
  CHECK_FALSE(conditioned.believes(Role::speed, k_no_value));

  recording.column(Role::speed) = {230, 254.5F, 255, 255.9F, 110};
  recording.column(Role::rpm) = {7000, 8128, 8191.875F, 8160, 2100};
  conditioned = condition(recording);
  CHECK(conditioned.implausible[static_cast<std::size_t>(Role::speed)] == 0);
  CHECK(conditioned.implausible[static_cast<std::size_t>(Role::rpm)] == 0);
}

TEST_CASE("127 is a code where the reading leaps to it, and a temperature where it climbs to it") {
  auto coolant = steady(40, 90.0F);
  append(coolant, 200, 127.0F); // held for minutes: still a code
  append(coolant, 40, 90.0F);
  auto conditioned = condition(made_recording(1.0, coolant));
  CHECK(count(conditioned, Quality::off_scale) == 200);
  CHECK(count(conditioned, Quality::good) == 80);

  std::vector<float> boiling;
  append_ramp(boiling, 50, 103.0F, 128.0F);
  for (float& reading : boiling) reading = std::round(reading);
  append(boiling, 20, 127.0F);
  CHECK(count(condition(made_recording(5.0, boiling)), Quality::good) == boiling.size());

  // The same for 128, where a signed byte ends by another count.
  CHECK(count(condition(made_recording(1.0, steady(20, 128.0F))), Quality::good) == 0);
  CHECK(count(condition(made_recording(60.0, {90, 128, 90})), Quality::good) == 2);

  // From the first row on nothing has led up to it.
  CHECK(count(condition(made_recording(1.0, steady(20, 127.0F))), Quality::good) == 0);
  // A minute is time enough for 24 K, not for 37.
  CHECK(count(condition(made_recording(60.0, {103, 127, 103})), Quality::good) == 3);
  CHECK(count(condition(made_recording(60.0, {90, 127, 90})), Quality::good) == 2);
}

TEST_CASE("in a log in whole degrees Fahrenheit 255 is a code and 127 is a temperature") {
  const auto in_c = [](double f) { return static_cast<float>((f - 32.0) / 1.8); };
  std::vector<float> coolant(30, in_c(190));
  coolant[10] = in_c(255);
  auto recording = made_recording(1.0, coolant);
  recording.how.columns = {{Role::coolant, "ECT", 2, "°F", "heading"}};
  CHECK(condition(recording).coolant[10] == Quality::off_scale);
  recording.column(Role::coolant) = std::vector<float>(30, in_c(127));
  CHECK(count(condition(recording), Quality::good) == 30);
}

TEST_CASE("an empty recording conditions to nothing") {
  const auto conditioned = condition(made_recording(1.0, {}));
  CHECK(conditioned.coolant.empty());
  CHECK(conditioned.events.empty());
}
