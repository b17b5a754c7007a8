// SPDX-License-Identifier: Apache-2.0
// What the last readings show: how far to boiling, how fast, and when that is an alarm.
#include "diagnose/heat_alarm.hpp"

#include <doctest/doctest.h>

#include <vector>

using namespace coolband;

namespace {

constexpr HeatScale k_scale{80.0, 128.0}; // 48 K

/// Every second for two minutes, ending at `end_c`.
std::vector<CoolantReading> rising(double end_c, double k_per_min) {
  std::vector<CoolantReading> readings;
  for (int i = 0; i <= 120; ++i)
    readings.push_back({static_cast<double>(i), end_c - k_per_min * (120 - i) / 60.0});
  return readings;
}

bool alarm(double end_c, double k_per_min) {
  const auto heat = heat_of(rising(end_c, k_per_min), k_scale);
  REQUIRE(heat);
  return overheats(*heat);
}

} // namespace

TEST_CASE("level, rate, share of the margin and time to boiling") {
  const auto heat = heat_of(rising(104.0, 6.0), k_scale);
  REQUIRE(heat);
  CHECK(heat->coolant_c == doctest::Approx(103.55)); // median of the last 10 s
  CHECK(*heat->rate_k_per_min == doctest::Approx(6.0).epsilon(0.08));
  CHECK(heat->spent == doctest::Approx(23.55 / 48.0));
  CHECK(*heat->boils_in_s == doctest::Approx(24.45 / 6.0 * 60.0).epsilon(0.08));
  CHECK_FALSE(heat_of(rising(104.0, -1.0), k_scale)->boils_in_s);
}

TEST_CASE("an alarm at three quarters, or ahead of time where it rises fast") {
  CHECK_FALSE(alarm(115.0, 0.0)); // 73 %
  CHECK(alarm(117.0, 0.0));       // 77 %
  CHECK(alarm(117.0, -3.0));      // falling, but still there
  CHECK(alarm(108.0, 10.0));      // 58 %: 90 % within 95 s
  CHECK_FALSE(alarm(108.0, 5.0));
  CHECK_FALSE(alarm(100.0, 12.0)); // 42 %
}

TEST_CASE("single wrong readings raise no alarm and hide none") {
  auto readings = rising(90.0, 0.0);
  readings.back().coolant_c = 149.0;
  readings[115].coolant_c = 140.0;
  CHECK_FALSE(overheats(*heat_of(readings, k_scale)));
  readings = rising(120.0, 1.0);
  readings.back().coolant_c = 40.0;
  CHECK(overheats(*heat_of(readings, k_scale)));
}

TEST_CASE("a slow logger is judged by its last three readings") {
  std::vector<CoolantReading> readings;
  for (int i = 0; i < 13; ++i) readings.push_back({10.0 * i, 80.0 + 3.0 * i});
  const auto heat = heat_of(readings, k_scale);
  REQUIRE(heat);
  CHECK(heat->coolant_c == 113.0);
  CHECK(*heat->rate_k_per_min == doctest::Approx(18.0));
  CHECK(overheats(*heat));
}

TEST_CASE("what cannot be told") {
  CHECK_FALSE(heat_of({}, k_scale));
  CHECK_FALSE(heat_of(std::vector<CoolantReading>{{0.0, 120.0}, {1.0, 120.0}}, k_scale));
  CHECK_FALSE(heat_of(rising(120.0, 0.0), {100.0, 105.0})); // no margin to be spent
  // A hole of some minutes lies between: no rate
  std::vector<CoolantReading> readings{{0.0, 80.0}, {1.0, 80.0}, {2.0, 80.0}};
  for (int i = 0; i < 4; ++i) readings.push_back({400.0 + i, 110.0});
  const auto heat = heat_of(readings, k_scale);
  REQUIRE(heat);
  CHECK_FALSE(heat->rate_k_per_min);
  CHECK_FALSE(heat->boils_in_s);
}

TEST_CASE("it has cooled below half of the margin, unless it rises") {
  CHECK(has_cooled(*heat_of(rising(100.0, -2.0), k_scale)));
  CHECK_FALSE(has_cooled(*heat_of(rising(100.0, 2.0), k_scale)));
  CHECK_FALSE(has_cooled(*heat_of(rising(110.0, -2.0), k_scale)));
}
