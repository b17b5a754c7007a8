// SPDX-License-Identifier: Apache-2.0
// What one step of the circuit takes as constant.
#pragma once

#include "circuit/air_side.hpp"
#include "circuit/circuit.hpp"
#include "circuit/heat_chain.hpp"

namespace coolband {

/// From combustion, friction and leaking gas, kW. Linear in the block's temperature within a step,
/// so that the implicit step sees it too.
struct EngineHeat {
  double at_0_c_kw = 0.0;  ///< into the metal, with the block at 0 °C...
  double less_per_k = 0.0; ///< ...and so much less per K
  double gas_kw = 0.0;     ///< into the coolant
};

struct StepConditions {
  ThreeNodes capacity; ///< kJ/K
  double block_to_coolant_kw_per_k = 0.0;
  double through_core_kw_per_k = 0.0; ///< the coolant's capacity rate there
  EngineHeat heat;
  CoreConductance core;
  CoreAir air;
  double surface_kw_per_k = 0.0;
  double cabin_kw_per_k = 0.0;
  double may_boil_l = 0.0;
};

/// With valve, fan and block as in `middle`, the state in the middle of the step.
StepConditions conditions_of(const CircuitParameters& parameters, const Operation& operation,
                             const CircuitFaults& faults, const CircuitState& middle);

/// The heat balance under these conditions.
HeatChain chain_of(const StepConditions& conditions, double ambient_c);

/// The flows at the step's mean temperatures; boiling is not among them.
HeatFlows flows_at(const StepConditions& conditions, const ThreeNodes& mean, double ambient_c);

} // namespace coolband
