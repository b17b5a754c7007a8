// SPDX-License-Identifier: Apache-2.0
// An engine that is pushed along gives no heat: a falling reading then is no sign of a fault.
#include "coolband/segment/trip.hpp"

#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Warm running at 80 °C, then `minutes` in which the reading falls to 70 °C and comes back.
Recording made_descent(float load_pct, float climb_m_per_min, bool with_load) {
  std::vector<float> coolant;
  std::vector<float> load;
  std::vector<float> altitude;
  float height_m = 1500.0F;
  const auto add = [&](int seconds, float from_c, float to_c, float pct, float climb) {
    append_ramp(coolant, static_cast<std::size_t>(seconds), from_c, to_c);
    append(load, static_cast<std::size_t>(seconds), pct);
    for (int i = 0; i < seconds; ++i) altitude.push_back(height_m += climb / 60.0F);
  };
  add(1200, 80.0F, 80.0F, 40.0F, 0.0F);
  add(480, 80.0F, 70.0F, load_pct, climb_m_per_min);
  add(180, 70.0F, 80.0F, 45.0F, 0.0F);
  add(600, 80.0F, 80.0F, 40.0F, 0.0F);
  Recording recording = made_recording(1.0, coolant);
  if (with_load) recording.column(Role::load) = load;
  recording.column(Role::altitude) = altitude;
  return recording;
}

Blocks blocks_of(const Recording& recording) {
  SegmentOptions options;
  options.regulating_c = 80.0;
  return find_trips(recording, condition(recording), options).front().blocks;
}

std::size_t count(const Blocks& blocks, Phase phase) {
  return static_cast<std::size_t>(std::count(blocks.phase.begin(), blocks.phase.end(), phase));
}

/// Blocks of regulated running that read more than 3 K low.
std::size_t low_and_warm(const Blocks& blocks) {
  std::size_t low = 0;
  for (std::size_t i = 0; i < blocks.size(); ++i)
    low += blocks.phase[i] == Phase::warm && blocks.coolant[i] < 77.0F ? 1U : 0U;
  return low;
}

} // namespace

TEST_CASE("overrun is a cool-down until the reading is back") {
  const Blocks blocks = blocks_of(made_descent(2.0F, -60.0F, true));
  CHECK(count(blocks, Phase::cool_down) >= 40); // of 48 + 18 blocks of ten seconds
  CHECK(low_and_warm(blocks) == 0);
  CHECK(count(blocks, Phase::warm) > 150);
}

TEST_CASE("without load a long descent tells the same") {
  CHECK(low_and_warm(blocks_of(made_descent(2.0F, -60.0F, false))) == 0);
  CHECK(count(blocks_of(made_descent(2.0F, 0.0F, false)), Phase::cool_down) == 0);
}

TEST_CASE("a reading that falls under load is no cool-down") {
  const Blocks blocks = blocks_of(made_descent(35.0F, -60.0F, true));
  CHECK(count(blocks, Phase::cool_down) == 0);
  CHECK(low_and_warm(blocks) > 30);
}

TEST_CASE("a reading that does not come back is judged five minutes later") {
  std::vector<float> coolant;
  std::vector<float> load;
  append(coolant, 1200, 80.0F);
  append(load, 1200, 40.0F);
  append_ramp(coolant, 300, 80.0F, 70.0F);
  append(load, 300, 0.0F);
  append(coolant, 1200, 70.0F);
  append(load, 1200, 40.0F);
  Recording recording = made_recording(1.0, coolant);
  recording.column(Role::load) = load;
  const Blocks blocks = blocks_of(recording);
  CHECK(low_and_warm(blocks) >= 80);
  CHECK(low_and_warm(blocks) <= 92); // of 120 blocks after the descent
}
