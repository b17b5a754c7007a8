// SPDX-License-Identifier: Apache-2.0
// From operation, faults, valve and fan to the conductances and sources of the heat balance.
#include "circuit/step_conditions.hpp"

#include "circuit/coolant_flow.hpp"
#include "circuit/fan.hpp"
#include "circuit/lag.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

// `cold_extra` is named at 0 °C, falls in a straight line to none at 80 °C, and is not drawn on
// below -40 °C.
constexpr double k_cold_ends_c = 80.0;
constexpr double k_coldest_block_c = -40.0;

// With the pump at rest the jackets still exchange heat by natural convection: as at so much of
// the rated flow's conductance (judgement).
constexpr double k_natural_convection = 0.08;

EngineHeat engine_heat(const CircuitParameters& p, const Operation& operation,
                       const CircuitFaults& faults, double block_c) {
  if (!operation.running) return {};
  const double full_kw = p.full_heat_kw * operation.rpm / p.rated_rpm;
  const double warm_kw = full_kw * (p.no_load_share + (1.0 - p.no_load_share) * operation.load);
  const double gas_kw = full_kw * operation.load * faults.gas_heat;
  if (block_c >= k_cold_ends_c) return {warm_kw, 0.0, gas_kw};
  constexpr double k_coldest_extra = 1.0 - k_coldest_block_c / k_cold_ends_c;
  if (block_c <= k_coldest_block_c)
    return {warm_kw * (1.0 + p.cold_extra * k_coldest_extra), 0.0, gas_kw};
  return {warm_kw * (1.0 + p.cold_extra), warm_kw * p.cold_extra / k_cold_ends_c, gas_kw};
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

ThreeNodes capacities(const CircuitParameters& p, const CoolantHeld& held) {
  const double kj_per_l_k = coolant_kj_per_l_k(p.mix);
  return {p.block_kj_per_k, held.engine_l * kj_per_l_k,
          held.radiator_l * kj_per_l_k + p.radiator_metal_kj_per_k};
}

} // namespace

StepConditions conditions_of(const CircuitParameters& p, const Operation& operation,
                             const CircuitFaults& faults, const CircuitState& middle) {
  const double missing = missing_share(p, faults, middle.boiled_l);
  const CoolantHeld held = coolant_held(p, missing);
  const CoolantFlow flow = coolant_flow(p, operation, faults, middle.lift, missing);
  const double through_core =
      flow.radiator * (p.flow_l_per_min * (1.0 / 60.0)) * coolant_kj_per_l_k(p.mix);
  const CoreAir air = core_air(p, operation, faults, fan_air_mps(middle.fan, p, operation, faults));
  return {capacities(p, held),
          engine_conductance(p, flow.engine, missing),
          through_core,
          engine_heat(p, operation, faults, middle.block_c),
          core_conductance(p, faults, air, through_core, flow.radiator),
          air,
          p.surface_kw_per_k + p.surface_kw_per_k_per_mps * operation.speed_mps,
          cabin_conductance(p, operation, flow.engine),
          held.may_boil_l};
}

HeatChain chain_of(const StepConditions& c, double ambient_c) {
  const double engine = c.block_to_coolant_kw_per_k;
  const double core = c.through_core_kw_per_k;
  return {c.capacity,
          {engine + c.surface_kw_per_k + c.heat.less_per_k, engine + core + c.cabin_kw_per_k,
           core + c.core.by_radiator},
          engine,
          engine,
          core - c.core.by_inlet,
          core,
          {c.heat.at_0_c_kw + c.surface_kw_per_k * ambient_c,
           c.heat.gas_kw + c.cabin_kw_per_k * ambient_c,
           (c.core.by_radiator + c.core.by_inlet) * ambient_c}};
}

HeatFlows flows_at(const StepConditions& c, const ThreeNodes& mean, double ambient_c) {
  HeatFlows flows;
  flows.from_engine = c.heat.at_0_c_kw - c.heat.less_per_k * mean.block + c.heat.gas_kw;
  flows.to_radiator_air = c.core.by_radiator * (mean.radiator - ambient_c) +
                          c.core.by_inlet * (mean.coolant - ambient_c);
  flows.to_surroundings = c.surface_kw_per_k * (mean.block - ambient_c);
  flows.to_cabin = c.cabin_kw_per_k * (mean.coolant - ambient_c);
  return flows;
}

} // namespace coolband
