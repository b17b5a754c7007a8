// SPDX-License-Identifier: Apache-2.0
// The radiator in its air: from flows to the conductances of the lumped circuit.
#pragma once

#include "circuit/circuit.hpp"

namespace coolband {

/// Air through the core: road speed and fan, what stands in its way, and the air's density.
struct CoreAir {
  double kw_per_k = 0.0;     ///< heat capacity rate
  double mass_share = 0.0;   ///< mass flow beside that of the reference air speed
  double recirculated = 0.0; ///< 0..1: share of the air that has been through the core before
};
CoreAir core_air(const CircuitParameters& parameters, const Operation& operation,
                 const CircuitFaults& faults, double fan_mps);

/// Heat to the air, kW = by_radiator (T_radiator - T_ambient) + by_inlet (T_engine - T_ambient).
/// In a steady state that is effectiveness * C_min * (T_engine - T_air in); with no flow the
/// radiator cools as a body of one temperature in that air.
struct CoreConductance {
  double by_radiator = 0.0;
  double by_inlet = 0.0;
};
/// `coolant_kw_per_k`: capacity rate of the coolant through the core; `flow_share`: that flow
/// beside the rated one.
CoreConductance core_conductance(const CircuitParameters& parameters, const CircuitFaults& faults,
                                 const CoreAir& air, double coolant_kw_per_k, double flow_share);

} // namespace coolband
