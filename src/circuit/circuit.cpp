// SPDX-License-Identifier: Apache-2.0
// One step of the circuit: conditions in the step's middle, the heat balance of block, coolant and
// radiator under them, boiling, and what follows the new temperatures: wax, valve, fan.
#include "circuit/circuit.hpp"

#include "circuit/coolant_flow.hpp"
#include "circuit/fan.hpp"
#include "circuit/lag.hpp"
#include "circuit/step_conditions.hpp"
#include "circuit/thermostat.hpp"

#include <algorithm>

namespace coolband {

namespace {

// To boil a litre of water away near 110 °C: 2230 kJ/kg, 0.951 kg/L (steam tables, from memory).
constexpr double k_boil_kj_per_l = 2120.0;

// No coolant boils below this at 20 kPa, the least pressure that the boiling curve knows.
constexpr double k_cannot_boil_c = 60.0;

/// The wax `step_s` after `before`, in water as in `water`: what leaves the engine, or the mix that
/// enters it.
double wax_after(double step_s, double before, const CircuitParameters& p,
                 const CircuitFaults& faults, const CircuitState& water) {
  double element_c = water.coolant_c;
  if (p.side == ThermostatSide::inlet)
    element_c += inflow_share(p, faults, water.lift) * (water.radiator_c - water.coolant_c);
  return before + (element_c - before) * lag_share(step_s, p.wax_lag_s * faults.wax_lag_factor);
}

/// Boils away what would be hotter than the boiling point; kJ.
double boil(CircuitState& state, const StepConditions& c, double boils_c) {
  const double surplus_kj = c.capacity.coolant * (state.coolant_c - boils_c);
  const double boiled_kj = std::clamp(surplus_kj, 0.0, c.may_boil_l * k_boil_kj_per_l);
  state.coolant_c -= boiled_kj / c.capacity.coolant;
  state.boiled_l += boiled_kj / k_boil_kj_per_l;
  return boiled_kj;
}

void follow_wax(CircuitState& state, const CircuitParameters& p, const CircuitFaults& faults) {
  state.wax_lift = lift_by_wax(state.wax_lift, state.wax_c, p, faults);
  state.lift = lift_allowed(state.wax_lift, faults);
}

void add(HeatFlows& sum, const HeatFlows& flows, double step_s) {
  sum.from_engine += flows.from_engine * step_s;
  sum.to_radiator_air += flows.to_radiator_air * step_s;
  sum.to_surroundings += flows.to_surroundings * step_s;
  sum.to_cabin += flows.to_cabin * step_s;
  sum.boiled += flows.boiled * step_s;
}

/// Valve and fan half a step on, from what is known at its begin.
CircuitState half_way(const CircuitState& begin, const CircuitParameters& p,
                      const Operation& operation, const CircuitFaults& faults, double step_s) {
  CircuitState middle = begin;
  middle.wax_c = wax_after(0.5 * step_s, begin.wax_c, p, faults, begin);
  follow_wax(middle, p, faults);
  const FanSense sense{begin.coolant_c, begin.air_behind_c, operation.running};
  middle.fan = fan_grip(begin.fan, sense, p, 0.5 * step_s);
  return middle;
}

CircuitState soaked(double start_c) {
  CircuitState state;
  state.block_c = start_c;
  state.coolant_c = start_c;
  state.radiator_c = start_c;
  state.wax_c = start_c;
  state.air_behind_c = start_c;
  return state;
}

} // namespace

Circuit::Circuit(const CircuitParameters& parameters, double start_c)
    : Circuit(parameters, soaked(start_c)) {
  state_.wax_lift = lift_by_wax(0.0, start_c, parameters_, {});
  state_.lift = state_.wax_lift;
}

Circuit::Circuit(const CircuitParameters& parameters, const CircuitState& start)
    : parameters_(parameters), state_(start), boiling_(parameters.mix) {}

// The conditions depend on valve and fan, which lag: half a step ahead from what is known now is
// exact to second order, and with that the whole step is (a midpoint rule about an L-stable one).
void Circuit::step(const Operation& operation, const CircuitFaults& faults, double step_s) {
  const CircuitState begin = state_;
  CircuitState middle = half_way(begin, parameters_, operation, faults, step_s);
  const StepConditions c = conditions_of(parameters_, operation, faults, middle);
  const ChainStep done = advance(chain_of(c, operation.ambient_c),
                                 {begin.block_c, begin.coolant_c, begin.radiator_c}, step_s);
  state_.block_c = done.end.block;
  state_.coolant_c = done.end.coolant;
  state_.radiator_c = done.end.radiator;
  flows_ = flows_at(c, done.mean, operation.ambient_c);
  if (state_.coolant_c > k_cannot_boil_c) {
    const double held_kpa = parameters_.cap_kpa * faults.cap_factor;
    flows_.boiled = boil(state_, c, boiling_.at(operation.outside_kpa + held_kpa)) / step_s;
  }
  add(ledger_.sum, flows_, step_s);
  ledger_.stored += c.capacity.block * (state_.block_c - begin.block_c) +
                    c.capacity.coolant * (state_.coolant_c - begin.coolant_c) +
                    c.capacity.radiator * (state_.radiator_c - begin.radiator_c);

  // The element's water in the mean over the step, at the valve's middle lift.
  middle.coolant_c = 0.5 * (begin.coolant_c + state_.coolant_c);
  middle.radiator_c = 0.5 * (begin.radiator_c + state_.radiator_c);
  state_.wax_c = wax_after(step_s, begin.wax_c, parameters_, faults, middle);
  follow_wax(state_, parameters_, faults);
  state_.air_behind_c =
      operation.ambient_c + flows_.to_radiator_air / (c.air.kw_per_k * (1.0 - c.air.recirculated));
  const FanSense sense{begin.coolant_c, state_.air_behind_c, operation.running};
  state_.fan = fan_grip(begin.fan, sense, parameters_, step_s);
}

} // namespace coolband
