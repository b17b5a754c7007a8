// SPDX-License-Identifier: Apache-2.0
// The circuit as a whole: energy, order, stability, boiling, standing engines.
#include "circuit/circuit.hpp"

#include "circuit/coolant_flow.hpp"
#include "support/circuit_drives.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <functional>
#include <initializer_list>

using namespace coolband;
using namespace coolband::testing;

namespace {

double imbalance_kj(const HeatLedger& ledger) {
  const HeatFlows& sum = ledger.sum;
  return sum.from_engine - sum.to_radiator_air - sum.to_surroundings - sum.to_cabin - sum.boiled -
         ledger.stored;
}

double greatest_kj(const HeatLedger& ledger) {
  const HeatFlows& sum = ledger.sum;
  return std::max({sum.from_engine, std::abs(sum.to_radiator_air), std::abs(sum.to_surroundings),
                   sum.boiled, std::abs(ledger.stored), 1.0});
}

bool same(const CircuitState& a, const CircuitState& b) {
  return std::memcmp(&a, &b, sizeof a) == 0;
}

CircuitParameters with(FanDrive fan, ThermostatSide side) {
  CircuitParameters parameters;
  parameters.fan = fan;
  parameters.side = side;
  return parameters;
}

/// Half a minute of warming, valve and fan both on the move and no limit reached.
CircuitState warming() {
  CircuitState state;
  state.block_c = 92.0;
  state.coolant_c = 84.0;
  state.radiator_c = 60.0;
  state.wax_c = 79.0;
  state.wax_lift = 3.0 / 13.0;
  state.lift = 3.0 / 13.0;
  state.air_behind_c = 58.0;
  state.fan = 0.1;
  return state;
}

CircuitState after(const CircuitParameters& parameters, const CircuitState& start, double step_s,
                   double seconds) {
  Circuit circuit(parameters, start);
  const Operation operation = operation_of(0.6, 2200, 5, 38.0);
  const int steps = static_cast<int>(std::lround(seconds / step_s));
  for (int i = 0; i < steps; ++i) circuit.step(operation, {}, step_s);
  return circuit.state();
}

double distance(const CircuitState& a, const CircuitState& b) {
  return std::abs(a.block_c - b.block_c) + std::abs(a.coolant_c - b.coolant_c) +
         std::abs(a.radiator_c - b.radiator_c) + std::abs(a.wax_c - b.wax_c) +
         10.0 * std::abs(a.lift - b.lift) + 10.0 * std::abs(a.fan - b.fan);
}

} // namespace

TEST_CASE("every kilojoule is accounted for, sound or faulty, whatever fan and thermostat") {
  std::uint64_t seed = 1;
  for (const FaultKind kind : all_fault_kinds()) {
    for (const double severity : {0.0, 1.0, 2.0}) {
      const auto fan = static_cast<FanDrive>(seed % 3);
      const auto side = static_cast<ThermostatSide>(seed % 2);
      CircuitTrip trip{with(fan, side), {{kind, severity}}, 5.0};
      trip.faults[0].spells = Spells{200.0, 100.0};
      const Outcome outcome = driven(trip, mixed(seed++, 35.0));
      CAPTURE(name_of(kind));
      CAPTURE(severity);
      CHECK(outcome.ledger.sum.from_engine > 1000.0);
      CHECK(std::abs(imbalance_kj(outcome.ledger)) < 1e-9 * greatest_kj(outcome.ledger));
    }
  }
}

TEST_CASE("what is stored is what the temperatures say") {
  const CircuitParameters p;
  const Outcome outcome = driven({p, {}, 20.0, 20.0}, always(on_road()));
  const double litre = coolant_kj_per_l_k(p.mix);
  const double stored =
      p.block_kj_per_k * (outcome.end.block_c - 20.0) +
      p.engine_coolant_l * litre * (outcome.end.coolant_c - 20.0) +
      (p.radiator_coolant_l * litre + p.radiator_metal_kj_per_k) * (outcome.end.radiator_c - 20.0);
  CHECK(outcome.ledger.stored == doctest::Approx(stored).epsilon(1e-9));
}

TEST_CASE("half the step, a quarter of the error, valve and fan on the move") {
  for (const ThermostatSide side : {ThermostatSide::outlet, ThermostatSide::inlet}) {
    CircuitParameters parameters = with(FanDrive::viscous, side);
    if (side == ThermostatSide::inlet) parameters.opens_c = 70.0; // the mix is colder
    CircuitState start = warming();
    if (side == ThermostatSide::inlet) start.wax_c = 73.0;
    const CircuitState exact = after(parameters, start, 1.0 / 128.0, 24.0);
    CHECK(exact.lift > start.lift + 0.05);
    CHECK(exact.fan > start.fan + 0.05);
    double before = distance(after(parameters, start, 1.0, 24.0), exact);
    for (const double step_s : {0.5, 0.25, 0.125}) {
      const double error = distance(after(parameters, start, step_s, 24.0), exact);
      CAPTURE(step_s);
      CHECK(before / error > 3.4);
      CHECK(before / error < 4.8);
      before = error;
    }
    CHECK(distance(after(parameters, start, 0.5, 24.0), exact) < 0.02);
  }
}

TEST_CASE("an hour of mixed driving is the same to a hundredth of a kelvin in finer steps") {
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    const Driving driving = mixed(seed);
    Circuit coarse({}, 20.0);
    Circuit fine({}, 20.0);
    double apart_k = 0.0;
    for (int i = 0; i < 7200; ++i) {
      const Operation operation = driving(0.5 * i);
      coarse.step(operation, {}, 0.5);
      for (int k = 0; k < 10; ++k) fine.step(operation, {}, 0.05);
      apart_k = std::max(apart_k, std::abs(coarse.state().coolant_c - fine.state().coolant_c));
    }
    CHECK(apart_k < 0.01);
  }
}

TEST_CASE("no parameter and no fault makes the step go wild") {
  CircuitParameters tiny;
  tiny.engine_coolant_l = 0.1;
  tiny.radiator_coolant_l = 0.1;
  tiny.radiator_metal_kj_per_k = 0.0;
  tiny.flow_l_per_min = 1000.0;
  tiny.wax_lag_s = 0.1;
  REQUIRE_FALSE(invalid(tiny));
  CircuitFaults dry;
  dry.coolant_missing = 0.999;
  CircuitFaults shut;
  shut.lift_at_most = 0.0;
  shut.core_air_factor = 0.0;
  shut.pump_factor = 0.0;
  for (const CircuitParameters& parameters : {CircuitParameters{}, tiny}) {
    for (const CircuitFaults& faults : {CircuitFaults{}, dry, shut}) {
      Circuit circuit(parameters, -30.0);
      const Driving driving = mixed(3, -30.0);
      double hottest_c = -30.0;
      for (int i = 0; i < 3600; ++i) {
        circuit.step(driving(i), faults, 1.0);
        const CircuitState& state = circuit.state();
        hottest_c = std::max({hottest_c, state.block_c, state.coolant_c});
        // A capacity that follows within the step passes its aim by a fifth at most.
        const double lowest_c = -30.0 - 0.21 * (hottest_c + 30.0);
        REQUIRE(std::isfinite(state.block_c));
        REQUIRE(state.coolant_c > lowest_c);
        REQUIRE(state.radiator_c > lowest_c);
        REQUIRE(state.coolant_c < 2000.0);
        REQUIRE(state.lift >= 0.0);
        REQUIRE(state.lift <= 1.0);
      }
      CHECK(std::abs(imbalance_kj(circuit.ledger())) < 1e-9 * greatest_kj(circuit.ledger()));
    }
  }
}

TEST_CASE("a state is all there is to know: going on from it is going on") {
  const CircuitParameters parameters = with(FanDrive::viscous, ThermostatSide::inlet);
  const Driving driving = mixed(9);
  Circuit whole(parameters, 20.0);
  for (int i = 0; i < 3000; ++i) whole.step(driving(0.5 * i), {}, 0.5);
  Circuit rest(parameters, whole.state());
  for (int i = 3000; i < 6000; ++i) {
    whole.step(driving(0.5 * i), {}, 0.5);
    rest.step(driving(0.5 * i), {}, 0.5);
  }
  CHECK(same(whole.state(), rest.state()));
}

TEST_CASE("nothing happens to a cold engine that stands in air of its temperature") {
  Circuit circuit({}, 15.0);
  for (int i = 0; i < 1000; ++i) circuit.step(parked(15.0), {}, 1.0);
  CHECK(circuit.state().block_c == doctest::Approx(15.0));
  CHECK(circuit.state().coolant_c == doctest::Approx(15.0));
  CHECK(circuit.state().radiator_c == doctest::Approx(15.0));
}

TEST_CASE(
    "after a climb the coolant still rises when the engine is stopped, then cools for hours") {
  Circuit circuit({}, 20.0);
  for (int i = 0; i < 3600; ++i) circuit.step(climbing(), {}, 0.5);
  const double stopped_c = circuit.state().coolant_c;
  CHECK(circuit.state().block_c > stopped_c + 5.0);
  double highest_c = stopped_c;
  double highest_s = 0.0;
  for (int i = 1; i <= 4 * 7200; ++i) {
    circuit.step(parked(), {}, 0.5);
    CHECK(circuit.flows().from_engine == 0.0);
    if (circuit.state().coolant_c > highest_c) highest_s = 0.5 * i;
    highest_c = std::max(highest_c, circuit.state().coolant_c);
  }
  CHECK(highest_c > stopped_c + 2.0);
  CHECK(highest_s > 60.0);
  CHECK(highest_s < 1200.0);
  CHECK(circuit.state().coolant_c < 50.0);
  CHECK(circuit.state().coolant_c > 20.0);
}

TEST_CASE("an electric fan that may run on cools the standing radiator") {
  CircuitParameters parameters = with(FanDrive::electric, ThermostatSide::outlet);
  parameters.fan_on_c = 80.0;
  parameters.fan_off_c = 60.0;
  CircuitParameters stops = parameters;
  stops.fan_runs_on = false;
  const auto radiator_c = [](const CircuitParameters& p) {
    Circuit circuit(p, 20.0);
    for (int i = 0; i < 3600; ++i) circuit.step(climbing(), {}, 0.5);
    for (int i = 0; i < 240; ++i) circuit.step(parked(), {}, 0.5);
    return circuit.state().radiator_c;
  };
  CHECK(radiator_c(parameters) < radiator_c(stops) - 5.0);
}

TEST_CASE("coolant that boils stays at its boiling point, goes away, and takes its heat along") {
  CircuitParameters small;
  small.radiator_ua_kw_per_k = 0.25;
  const double boils_c = boiling_point_c(small.mix, 101.325 + small.cap_kpa).value();
  Circuit circuit(small, 20.0);
  double highest_c = 0.0;
  for (int i = 0; i < 2400; ++i) {
    circuit.step(climbing(35.0), {}, 0.5);
    highest_c = std::max(highest_c, circuit.state().coolant_c);
  }
  CHECK(highest_c == doctest::Approx(boils_c).epsilon(1e-4));
  CHECK(circuit.state().boiled_l > 0.5);
  // 2120 kJ a litre.
  CHECK(circuit.ledger().sum.boiled == doctest::Approx(2120.0 * circuit.state().boiled_l));
  CHECK(std::abs(imbalance_kj(circuit.ledger())) < 1e-9 * greatest_kj(circuit.ledger()));

  CircuitFaults open;
  open.cap_factor = 0.0;
  Circuit high(small, 20.0);
  Operation mountain = climbing(20.0);
  mountain.outside_kpa = 70.1085;
  for (int i = 0; i < 2400; ++i) high.step(mountain, open, 0.5);
  CHECK(high.state().coolant_c ==
        doctest::Approx(boiling_point_c(small.mix, 70.1085).value()).epsilon(1e-4));
}

TEST_CASE("when all has boiled away nothing is left to hold the temperature") {
  CircuitParameters small;
  small.radiator_ua_kw_per_k = 0.05;
  Circuit circuit(small, 20.0);
  for (int i = 0; i < 4 * 3600; ++i) circuit.step(climbing(35.0), {}, 0.5);
  CHECK(circuit.state().boiled_l == doctest::Approx(0.98 * 11.5));
  CHECK(circuit.state().coolant_c > 130.0);
}

TEST_CASE("the heater takes heat from a running engine only, and holds a cold one back") {
  Operation heated = idling(-15.0);
  heated.heater = 1.0;
  const Outcome with_heater = driven({{}, {}, -15.0, 90.0}, always(heated));
  const Outcome without = driven({{}, {}, -15.0, 90.0}, always(idling(-15.0)));
  CHECK(with_heater.end.coolant_c < without.end.coolant_c - 10.0);
  CHECK(with_heater.ledger.sum.to_cabin > 1000.0);
  CHECK(without.ledger.sum.to_cabin == 0.0);
  Circuit circuit({}, 80.0);
  Operation stopped = parked(0.0);
  stopped.heater = 1.0;
  circuit.step(stopped, {}, 0.5);
  CHECK(circuit.flows().to_cabin == 0.0);
}

TEST_CASE("an element in the inlet holds the inlet, one in the outlet the outlet") {
  const Outcome outlet =
      driven({with(FanDrive::viscous, ThermostatSide::outlet)}, always(on_road()));
  const Outcome inlet = driven({with(FanDrive::viscous, ThermostatSide::inlet)}, always(on_road()));
  CHECK(outlet.end.wax_c == doctest::Approx(outlet.end.coolant_c).epsilon(1e-3));
  CHECK(inlet.end.wax_c < inlet.end.coolant_c - 1.0);
  CHECK(inlet.end.coolant_c > outlet.end.coolant_c + 1.0);
}

TEST_CASE("more heat, more load or less air never make the coolant colder") {
  const auto mean_c = [](const Operation& operation, const CircuitParameters& p = {}) {
    return driven({p}, always(operation)).mean_c;
  };
  const double usual = mean_c(on_road(30.0));
  Operation loaded = on_road(30.0);
  loaded.load += 0.2;
  CHECK(mean_c(loaded) > usual);
  Operation calm = on_road(30.0);
  calm.speed_mps = 8.0;
  CHECK(mean_c(calm) > usual);
  CHECK(mean_c(on_road(40.0)) > usual);
  Operation high = on_road(30.0);
  high.outside_kpa = 70.0;
  CHECK(mean_c(high) > usual);
  CircuitParameters strong;
  strong.radiator_ua_kw_per_k *= 1.5;
  CHECK(mean_c(on_road(30.0), strong) < usual);
}
