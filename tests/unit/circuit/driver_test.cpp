// SPDX-License-Identifier: Apache-2.0
// The driver on each kind of stretch: what it asks of the engine, and the limits it keeps to.
#include "circuit/driver.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace coolband;

namespace {

constexpr Air k_mild{20.0, 101.325};

RoutePhase stretch(RouteKind kind) {
  RoutePhase phase;
  phase.kind = kind;
  return phase;
}

/// Twenty minutes of one stretch, after five to get going.
std::vector<Motion> motions_over(const RoutePhase& phase, Scenario scenario = {}) {
  Driver driver(scenario);
  driver.begin(phase);
  std::vector<Motion> motions;
  for (int step = 0; step < 3000; ++step) {
    const Motion& motion = driver.step(85.0, k_mild);
    if (step >= 600) motions.push_back(motion);
  }
  return motions;
}

template <typename Value>
double mean(const std::vector<Motion>& motions, Value value) {
  double sum = 0.0;
  for (const Motion& motion : motions) sum += value(motion);
  return sum / static_cast<double>(motions.size());
}

double speed_kmh(const std::vector<Motion>& motions) {
  return mean(motions, [](const Motion& m) { return 3.6 * m.speed_mps; });
}

double load(const std::vector<Motion>& motions) {
  return mean(motions, [](const Motion& m) { return m.load; });
}

RoutePhase trailer_climb() {
  RoutePhase phase = stretch(RouteKind::climb);
  phase.trailer_kg = 2000.0;
  return phase;
}

RoutePhase level_road() {
  RoutePhase phase = stretch(RouteKind::road);
  phase.grade_pct = 0.0;
  phase.speed_kmh = 70.0;
  return phase;
}

} // namespace

TEST_CASE("a climb asks more of the engine than a road, and a trailer more again") {
  const double road = load(motions_over(stretch(RouteKind::road)));
  const double climb = load(motions_over(stretch(RouteKind::climb)));
  const double with_trailer = load(motions_over(trailer_climb()));
  CHECK(climb > road + 0.1);
  CHECK(with_trailer > climb + 0.05);
}

TEST_CASE("a descent asks less of the engine than a road, and is driven downwards") {
  const auto down = motions_over(stretch(RouteKind::descent));
  CHECK(load(down) < load(motions_over(stretch(RouteKind::road))) - 0.1);
  CHECK(down.back().altitude_m < down.front().altitude_m - 100.0);
}

TEST_CASE("tracks and sand are slower than roads, and sand is hard work") {
  const auto road = motions_over(stretch(RouteKind::road));
  const auto sand = motions_over(stretch(RouteKind::sand));
  CHECK(speed_kmh(motions_over(stretch(RouteKind::track))) < 0.6 * speed_kmh(road));
  CHECK(speed_kmh(sand) < 0.6 * speed_kmh(road));
  CHECK(load(sand) > load(road));
  CHECK(speed_kmh(motions_over(stretch(RouteKind::highway))) > speed_kmh(road));
}

TEST_CASE("town driving stops and goes") {
  const auto town = motions_over(stretch(RouteKind::town));
  const auto standing =
      std::count_if(town.begin(), town.end(), [](const Motion& m) { return m.speed_mps == 0.0; });
  const double share = static_cast<double>(standing) / static_cast<double>(town.size());
  CHECK(share > 0.05);
  CHECK(share < 0.6);
}

TEST_CASE("an engine that idles turns at its idle speed, faster when cold") {
  const Scenario scenario;
  const auto idling = motions_over(stretch(RouteKind::idle));
  CHECK(idling.back().rpm == scenario.circuit.idle_rpm);
  CHECK(idling.back().speed_mps == 0.0);
  CHECK(idling.back().load > 0.1); // it turns itself, alternator and steering
  CHECK(idling.back().load < 0.4);
  Driver driver(scenario);
  const RoutePhase phase = stretch(RouteKind::idle);
  driver.begin(phase);
  CHECK(driver.step(0.0, k_mild).rpm > scenario.circuit.idle_rpm + 100.0);
}

TEST_CASE("a given speed is aimed at within 8 %, and a given grade is held") {
  RoutePhase phase = level_road();
  phase.grade_pct = 2.0;
  for (const Motion& motion : motions_over(phase)) {
    CHECK(motion.grade == doctest::Approx(0.02));
    CHECK(3.6 * motion.speed_mps > 0.91 * 70.0);
    CHECK(3.6 * motion.speed_mps < 1.09 * 70.0);
  }
}

TEST_CASE("too steep for the engine's power, the vehicle falls behind its speed at full load") {
  RoutePhase phase = trailer_climb();
  phase.speed_kmh = 90.0;
  phase.grade_pct = 12.0;
  const auto motions = motions_over(phase);
  CHECK(speed_kmh(motions) < 60.0);
  CHECK(speed_kmh(motions) > 5.0);
  CHECK(load(motions) > 0.9);
}

TEST_CASE("wind against the vehicle loads the engine, wind from behind relieves it") {
  Scenario against;
  against.weather.headwind_kmh = 40.0;
  Scenario behind;
  behind.weather.headwind_kmh = -40.0;
  const double calm = load(motions_over(level_road()));
  CHECK(load(motions_over(level_road(), against)) > calm + 0.02);
  CHECK(load(motions_over(level_road(), behind)) < calm - 0.02);
}

TEST_CASE("an air conditioning that runs loads the engine at idle") {
  Scenario on;
  on.comfort.air_conditioning = true;
  Scenario off;
  off.comfort.air_conditioning = false;
  const RoutePhase idle = stretch(RouteKind::idle);
  CHECK(load(motions_over(idle, on)) > load(motions_over(idle, off)) + 0.05);
}

TEST_CASE("load and engine speed stay within what there is, on every kind of stretch") {
  const Scenario scenario;
  for (int kind = 0; kind <= static_cast<int>(RouteKind::stop); ++kind) {
    CAPTURE(name_of(static_cast<RouteKind>(kind)));
    const auto motions = motions_over(stretch(static_cast<RouteKind>(kind)));
    for (const Motion& motion : motions) {
      CHECK(motion.load >= 0.0);
      CHECK(motion.load <= 1.0);
      CHECK(motion.speed_mps >= 0.0);
      CHECK((motion.rpm >= scenario.circuit.idle_rpm || !motion.running));
    }
    // A gear is kept for 3 s, in which the vehicle may outrun it.
    const double too_fast = mean(motions, [&](const Motion& motion) {
      return motion.rpm > scenario.circuit.rated_rpm ? 1.0 : 0.0;
    });
    CHECK(too_fast < 0.01);
  }
}

TEST_CASE("the road is level at the ends of the world") {
  Scenario high;
  high.start_altitude_m = 4990.0;
  Scenario low;
  low.start_altitude_m = -390.0;
  RoutePhase up = stretch(RouteKind::climb);
  RoutePhase down = stretch(RouteKind::descent);
  for (const Motion& motion : motions_over(up, high)) CHECK(motion.altitude_m < 5030.0);
  for (const Motion& motion : motions_over(down, low)) CHECK(motion.altitude_m > -430.0);
}

TEST_CASE("a driver comes to rest before the engine is switched off") {
  const Scenario scenario;
  Driver driver(scenario);
  const RoutePhase road = level_road();
  const RoutePhase stop = stretch(RouteKind::stop);
  driver.begin(road);
  for (int step = 0; step < 200; ++step) driver.step(85.0, k_mild);
  driver.begin(stop);
  CHECK(driver.step(85.0, k_mild).running);
  CHECK(driver.motion().speed_mps > 10.0);
  for (int step = 0; step < 120; ++step) driver.step(85.0, k_mild);
  CHECK_FALSE(driver.motion().running);
  CHECK(driver.motion().rpm == 0.0);
  CHECK(driver.motion().load == 0.0);
  CHECK(driver.motion().speed_mps == 0.0);
}
