// SPDX-License-Identifier: Apache-2.0
// Pump, level, hose and blocked core: what is left of the flow.
#include "circuit/coolant_flow.hpp"

#include "support/circuit_drives.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

CoolantFlow flow(const CircuitFaults& faults, double lift = 1.0, double rpm = 3600.0,
                 double missing = 0.0) {
  return coolant_flow({}, operation_of(0.5, rpm, 20.0), faults, lift, missing);
}

} // namespace

TEST_CASE("the pump turns with the engine") {
  CHECK(flow({}).engine == doctest::Approx(1.0));
  CHECK(flow({}, 1.0, 1800.0).engine == doctest::Approx(0.5));
  CHECK(flow({}, 1.0).radiator == doctest::Approx(1.0));
  CHECK(flow({}, 0.0).radiator == doctest::Approx(0.005)); // the vent
  const CoolantFlow resting = coolant_flow({}, parked(), {}, 1.0, 0.0);
  CHECK(resting.engine > 0.0); // warm coolant rises by itself
  CHECK(resting.engine < 0.02);
}

TEST_CASE("slip, gas and a soft hose take flow away") {
  CircuitFaults faults;
  faults.pump_factor = 0.4;
  CHECK(flow(faults).engine == doctest::Approx(0.4));
  faults = {};
  faults.gas_at_pump = 0.7;
  CHECK(flow(faults).engine == doctest::Approx(0.3));
  faults = {};
  faults.hose_collapse = 0.5;
  CHECK(flow(faults).engine == doctest::Approx(0.5));
  CHECK(flow(faults, 1.0, 750.0).engine == doctest::Approx(flow({}, 1.0, 750.0).engine));
  CHECK(flow(faults, 1.0, 2175.0).engine ==
        doctest::Approx(0.75 * flow({}, 1.0, 2175.0).engine)); // half way between
}

TEST_CASE("the pump takes no harm from a little that is missing, and draws nothing from nothing") {
  CHECK(flow({}, 1.0, 3600.0, 0.3).engine == doctest::Approx(1.0));
  CHECK(flow({}, 1.0, 3600.0, 0.65).engine == doctest::Approx(0.5));
  CHECK(flow({}, 1.0, 3600.0, 1.0).engine == 0.0);
}

TEST_CASE("a core blocked inside costs the radiator's flow, not the bypass's") {
  CircuitFaults faults;
  faults.core_flow_factor = 0.5;
  CHECK(flow(faults, 1.0).radiator == doctest::Approx(0.5));
  CHECK(flow(faults, 1.0).engine == doctest::Approx(0.5));
  const CoolantFlow half = flow(faults, 0.5);
  CHECK(half.radiator == doctest::Approx(0.5 * flow({}, 0.5).radiator));
  CHECK(half.engine > 0.94);
  CHECK(inflow_share({}, faults, 0.5) == doctest::Approx(half.radiator / half.engine));
}

TEST_CASE("what is missing and what has boiled away add up, and films stay") {
  const CircuitParameters p; // 8 + 3.5 L
  CircuitFaults faults;
  faults.coolant_missing = 0.25;
  CHECK(missing_share(p, faults, 0.0) == 0.25);
  CHECK(missing_share(p, faults, 2.3) == doctest::Approx(0.45));
  CHECK(missing_share(p, faults, 100.0) == 1.0);
  CHECK(coolant_held(p, 0.25).engine_l == doctest::Approx(6.0));
  CHECK(coolant_held(p, 0.25).radiator_l == doctest::Approx(2.625));
  CHECK(coolant_held(p, 0.25).may_boil_l == doctest::Approx(11.5 * 0.73));
  CHECK(coolant_held(p, 1.0).engine_l == doctest::Approx(0.16));
  CHECK(coolant_held(p, 1.0).may_boil_l == 0.0);
}
