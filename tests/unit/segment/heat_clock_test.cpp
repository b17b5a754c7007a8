// SPDX-License-Identifier: Apache-2.0
// Time told by heat.
#include "segment/heat_clock.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <limits>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Six minutes at a load of 50 %, six at 10 %; 1500 rpm.
Blocks half_idle() {
  return MadeTrip{}.add(36, {50.0F, 50.0F, 60.0F}).add(36, {60.0F, 10.0F, 0.0F}).take().blocks;
}

double minutes(const HeatSeries& series, std::size_t from, std::size_t to) {
  return series.clock_min[to] - series.clock_min[from];
}

} // namespace

TEST_CASE("the clock runs with load, at one minute a minute on average") {
  const HeatSeries series = heat_series(half_idle(), 0, 72);
  REQUIRE(series.size() == 72);
  CHECK(series.heat_known);
  CHECK(minutes(series, 0, 71) == doctest::Approx(71.0 / 6.0).epsilon(0.01));
  CHECK(minutes(series, 0, 35) / minutes(series, 36, 71) == doctest::Approx(5.0));
}

TEST_CASE("the clock runs with engine speed as well, or with that alone") {
  Blocks blocks = half_idle();
  for (std::size_t i = 36; i < 72; ++i) blocks.rpm[i] = 750.0F;
  const HeatSeries both = heat_series(blocks, 0, 72);
  CHECK(minutes(both, 0, 35) / minutes(both, 36, 71) == doctest::Approx(10.0));
  blocks.load.assign(72, k_not_logged);
  const HeatSeries speed = heat_series(blocks, 0, 72);
  CHECK(speed.heat_known);
  CHECK(minutes(speed, 0, 35) / minutes(speed, 36, 71) == doctest::Approx(2.0));
}

TEST_CASE("without load and engine speed, or with nothing burnt, the clock is time") {
  Blocks blocks = half_idle();
  blocks.rpm.assign(72, k_not_logged);
  blocks.load.assign(72, k_not_logged);
  const HeatSeries blind = heat_series(blocks, 0, 72);
  CHECK_FALSE(blind.heat_known);
  CHECK(minutes(blind, 0, 6) == doctest::Approx(1.0));
  blocks.load.assign(72, 0.0F);
  const HeatSeries cut = heat_series(blocks, 0, 72);
  CHECK_FALSE(cut.heat_known);
  CHECK(minutes(cut, 0, 6) == doctest::Approx(1.0));
}

TEST_CASE("blocks without a reading are left out, blocks without load count as average") {
  Blocks blocks = half_idle();
  blocks.coolant[10] = k_not_logged;
  blocks.load[20] = k_not_logged;
  const HeatSeries series = heat_series(blocks, 0, 72);
  CHECK(series.size() == 71);
  CHECK(minutes(series, 0, 70) == doctest::Approx(71.0 / 6.0).epsilon(0.02));
  CHECK(heat_series(blocks, 5, 5).size() == 0);
}
