// SPDX-License-Identifier: Apache-2.0
// One step of the circuit: conditions in the step's middle, the heat balance of block, coolant and
// radiator under them, boiling, and what follows the new temperatures: wax, valve, fan.
#include "circuit/circuit.hpp"

#include "circuit/air_side.hpp"
#include "circuit/coolant_flow.hpp"
#include "circuit/fan.hpp"
#include "circuit/heat_chain.hpp"
#include "circuit/lag.hpp"
#include "circuit/thermostat.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

// `cold_extra` is named at 0 °C, falls in a straight line to none at 80 °C, and is not drawn on
// below -40 °C.
constexpr double k_cold_ends_c = 80.0;
constexpr double k_coldest_c = -40.0;

// With the pump at rest the jackets still exchange heat by natural convection: as at so much of
// the rated flow's conductance (judgement).
constexpr double k_natural_convection = 0.08;

// To boil a litre of water away near 110 °C: 2230 kJ/kg, 0.951 kg/L (steam tables, from memory).
constexpr double k_boil_kj_per_l = 2120.0;

// No coolant boils below this at 20 kPa, the least pressure that the boiling curve knows.
constexpr double k_cannot_boil_c = 60.0;

/// What one step holds constant.
struct Conditions {
  HeatChain chain;
  CoreConductance core;
  double air_kw_per_k = 0.0;
  double surface_kw_per_k = 0.0;
  double cabin_kw_per_k = 0.0;
  double heat_kw = 0.0;       ///< from the engine with the block at 0 °C...
  double heat_kw_per_k = 0.0; ///< ...and so much less per K
  double gas_kw = 0.0;
  double recirculated = 0.0;
  double may_boil_l = 0.0;
};

void add_engine_heat(Conditions& c, const CircuitParameters& p, const Operation& operation,
                     const CircuitFaults& faults, double block_c) {
  if (!operation.running) return;
  const double full_kw = p.full_heat_kw * operation.rpm / p.rated_rpm;
  const double warm_kw = full_kw * (p.no_load_share + (1.0 - p.no_load_share) * operation.load);
  c.gas_kw = full_kw * operation.load * faults.gas_heat;
  // Linear in the block's temperature within the step, so that the implicit step sees it too.
  if (block_c >= k_cold_ends_c) {
    c.heat_kw = warm_kw;
  } else if (block_c <= k_coldest_c) {
    c.heat_kw = warm_kw * (1.0 + p.cold_extra * (1.0 - k_coldest_c / k_cold_ends_c));
  } else {
    c.heat_kw = warm_kw * (1.0 + p.cold_extra);
    c.heat_kw_per_k = warm_kw * p.cold_extra / k_cold_ends_c;
  }
}

double engine_conductance(const CircuitParameters& p, double flow, double missing) {
  return p.block_to_coolant_kw_per_k *
         std::max(power_four_fifths(flow), k_natural_convection * (1.0 - missing));
}

/// The heater's core feels the coolant's flow only weakly, but stands on the pump.
double cabin_conductance(const CircuitParameters& p, const Operation& operation, double flow) {
  if (!operation.running || operation.heater <= 0.0) return 0.0;
  return p.heater_kw_per_k * operation.heater * std::sqrt(std::sqrt(flow));
}

void fill_chain(Conditions& c, double engine, double coolant, double ambient_c) {
  HeatChain& chain = c.chain;
  chain.block_to_coolant = engine;
  chain.coolant_to_block = engine;
  chain.radiator_to_coolant = coolant;
  chain.coolant_to_radiator = coolant - c.core.by_inlet;
  chain.out = {engine + c.surface_kw_per_k + c.heat_kw_per_k, engine + coolant + c.cabin_kw_per_k,
               coolant + c.core.by_radiator};
  chain.source = {c.heat_kw + c.surface_kw_per_k * ambient_c,
                  c.gas_kw + c.cabin_kw_per_k * ambient_c,
                  (c.core.by_radiator + c.core.by_inlet) * ambient_c};
}

/// Conditions with the valve at `lift` and the fan at `grip`, those of the step's middle.
Conditions conditions_of(const CircuitParameters& p, const Operation& operation,
                         const CircuitFaults& faults, const CircuitState& middle) {
  Conditions c;
  const double missing = missing_share(p, faults, middle.boiled_l);
  const CoolantHeld held = coolant_held(p, missing);
  const double kj_per_l_k = coolant_kj_per_l_k(p.mix);
  c.chain.capacity = {p.block_kj_per_k, held.engine_l * kj_per_l_k,
                      held.radiator_l * kj_per_l_k + p.radiator_metal_kj_per_k};
  c.may_boil_l = held.may_boil_l;

  const CoolantFlow flow = coolant_flow(p, operation, faults, middle.lift, missing);
  const double coolant = flow.radiator * p.flow_l_per_min / 60.0 * kj_per_l_k;
  const CoreAir air = core_air(p, operation, faults, fan_air_mps(middle.fan, p, operation, faults));
  c.air_kw_per_k = air.kw_per_k;
  c.recirculated = air.recirculated;
  c.core = core_conductance(p, faults, air, coolant, flow.radiator);
  c.surface_kw_per_k = p.surface_kw_per_k + p.surface_kw_per_k_per_mps * operation.speed_mps;
  c.cabin_kw_per_k = cabin_conductance(p, operation, flow.engine);
  add_engine_heat(c, p, operation, faults, middle.block_c);
  fill_chain(c, engine_conductance(p, flow.engine, missing), coolant, operation.ambient_c);
  return c;
}

HeatFlows flows_at(const Conditions& c, const ThreeNodes& mean, double ambient_c) {
  HeatFlows flows;
  flows.from_engine = c.heat_kw - c.heat_kw_per_k * mean.block + c.gas_kw;
  flows.to_radiator_air = c.core.by_radiator * (mean.radiator - ambient_c) +
                          c.core.by_inlet * (mean.coolant - ambient_c);
  flows.to_surroundings = c.surface_kw_per_k * (mean.block - ambient_c);
  flows.to_cabin = c.cabin_kw_per_k * (mean.coolant - ambient_c);
  return flows;
}

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
double boil(CircuitState& state, const Conditions& c, double boils_c) {
  const double surplus_kj = c.chain.capacity.coolant * (state.coolant_c - boils_c);
  const double boiled_kj = std::clamp(surplus_kj, 0.0, c.may_boil_l * k_boil_kj_per_l);
  state.coolant_c -= boiled_kj / c.chain.capacity.coolant;
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
  const Conditions c = conditions_of(parameters_, operation, faults, middle);
  const ChainStep done =
      advance(c.chain, {begin.block_c, begin.coolant_c, begin.radiator_c}, step_s);
  state_.block_c = done.end.block;
  state_.coolant_c = done.end.coolant;
  state_.radiator_c = done.end.radiator;
  flows_ = flows_at(c, done.mean, operation.ambient_c);
  if (state_.coolant_c > k_cannot_boil_c) {
    const double held_kpa = parameters_.cap_kpa * faults.cap_factor;
    flows_.boiled = boil(state_, c, boiling_.at(operation.outside_kpa + held_kpa)) / step_s;
  }
  add(ledger_.sum, flows_, step_s);
  ledger_.stored += c.chain.capacity.block * (state_.block_c - begin.block_c) +
                    c.chain.capacity.coolant * (state_.coolant_c - begin.coolant_c) +
                    c.chain.capacity.radiator * (state_.radiator_c - begin.radiator_c);

  // The element's water in the mean over the step, at the valve's middle lift.
  middle.coolant_c = 0.5 * (begin.coolant_c + state_.coolant_c);
  middle.radiator_c = 0.5 * (begin.radiator_c + state_.radiator_c);
  state_.wax_c = wax_after(step_s, begin.wax_c, parameters_, faults, middle);
  follow_wax(state_, parameters_, faults);
  state_.air_behind_c =
      operation.ambient_c + flows_.to_radiator_air / (c.air_kw_per_k * (1.0 - c.recirculated));
  const FanSense sense{begin.coolant_c, state_.air_behind_c, operation.running};
  state_.fan = fan_grip(begin.fan, sense, parameters_, step_s);
}

} // namespace coolband
