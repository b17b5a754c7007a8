// SPDX-License-Identifier: Apache-2.0
// Fans grip by their own sense: air behind the core, coolant, or none.
#include "circuit/fan.hpp"

#include <doctest/doctest.h>

using namespace coolband;

namespace {

CircuitParameters with(FanDrive drive) {
  CircuitParameters parameters;
  parameters.fan = drive;
  return parameters;
}

double grip_after(double seconds, const FanSense& sense, double grip = 0.0) {
  for (double t = 0.0; t < seconds; t += 0.5)
    grip = fan_grip(grip, sense, with(FanDrive::viscous), 0.5);
  return grip;
}

double air(const CircuitParameters& parameters, double grip, double rpm,
           const CircuitFaults& faults = {}, bool running = true) {
  Operation operation;
  operation.rpm = rpm;
  operation.running = running;
  return fan_air_mps(grip, parameters, operation, faults);
}

} // namespace

TEST_CASE("a viscous clutch follows the air behind the core in its own time") {
  const FanSense hot{90.0, 75.0, true};
  CHECK(grip_after(30.0, hot) == doctest::Approx(0.632).epsilon(0.01)); // one lag
  CHECK(grip_after(300.0, hot) > 0.999);
  CHECK(grip_after(300.0, {90.0, 50.0, true}) == 0.0);
  CHECK(grip_after(300.0, {90.0, 61.0, true}) == doctest::Approx(0.5).epsilon(1e-3));
  CHECK(grip_after(300.0, {90.0, 40.0, true}, 1.0) < 1e-3);
}

TEST_CASE("an electric fan switches with hysteresis, and runs on if it may") {
  CircuitParameters p = with(FanDrive::electric); // on at 92, off at 87
  CHECK(fan_grip(0.0, {91.9, 20.0, true}, p, 0.5) == 0.0);
  CHECK(fan_grip(0.0, {92.0, 20.0, true}, p, 0.5) == 1.0);
  CHECK(fan_grip(1.0, {87.1, 20.0, true}, p, 0.5) == 1.0);
  CHECK(fan_grip(1.0, {87.0, 20.0, true}, p, 0.5) == 0.0);
  CHECK(fan_grip(1.0, {95.0, 20.0, false}, p, 0.5) == 1.0);
  CHECK(air(p, 1.0, 0.0, {}, false) == doctest::Approx(p.fan_air_mps));
  p.fan_runs_on = false;
  CHECK(fan_grip(1.0, {95.0, 20.0, false}, p, 0.5) == 0.0);
  CHECK(air(p, 1.0, 0.0, {}, false) == 0.0);
}

TEST_CASE("belt-driven fans draw with the engine's speed, and nothing when it stands") {
  const CircuitParameters fixed = with(FanDrive::fixed);
  CHECK(fan_grip(0.0, {20.0, 20.0, true}, fixed, 0.5) == 1.0);
  CHECK(air(fixed, 1.0, 2400.0) == doctest::Approx(3.5)); // two thirds of 3600
  CHECK(air(fixed, 1.0, 1200.0) == doctest::Approx(1.75));
  CHECK(air(fixed, 1.0, 0.0, {}, false) == 0.0);
  const CircuitParameters viscous = with(FanDrive::viscous);
  CHECK(air(viscous, 0.0, 2400.0) > 0.0); // drags
  CHECK(air(viscous, 0.0, 2400.0) < 0.3 * air(viscous, 1.0, 2400.0));
}

TEST_CASE("dead, slipping and stuck fans") {
  const CircuitParameters viscous = with(FanDrive::viscous);
  CircuitFaults faults;
  faults.fan_factor = 0.0;
  CHECK(air(viscous, 1.0, 2400.0, faults) == 0.0);
  faults.fan_factor = 0.5;
  CHECK(air(viscous, 1.0, 2400.0, faults) == doctest::Approx(0.5 * air(viscous, 1.0, 2400.0)));
  faults = {};
  faults.fan_always_on = true;
  CHECK(air(viscous, 0.0, 2400.0, faults) == air(viscous, 1.0, 2400.0));
  CHECK(air(with(FanDrive::electric), 0.0, 800.0, faults) == doctest::Approx(3.5));
}
