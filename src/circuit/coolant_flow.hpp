// SPDX-License-Identifier: Apache-2.0
// How much coolant there is and where it flows.
#pragma once

#include "circuit/circuit.hpp"

namespace coolband {

/// Heat capacity of a litre of coolant near 90 °C, kJ/(L K): linear between water (965.3 kg/m3,
/// 4205 J/(kg K)) and 50 vol % ethylene glycol (1030.95 kg/m3, 3551 J/(kg K); ASHRAE). Propylene
/// glycol is taken as ethylene glycol, about 2 % less than it carries (from memory).
double coolant_kj_per_l_k(const CoolantMix& mix);

/// Share of the circuit's coolant that is not there, 0..1: gone before, or boiled away since.
double missing_share(const CircuitParameters& parameters, const CircuitFaults& faults,
                     double boiled_l);

/// Litres in the parts. Even a dry circuit keeps a fiftieth: films and puddles.
struct CoolantHeld {
  double engine_l = 0.0;
  double radiator_l = 0.0;
  double may_boil_l = 0.0; ///< of both, until the fiftieth is left
};
CoolantHeld coolant_held(const CircuitParameters& parameters, double missing);

/// Flows as shares of `flow_l_per_min`.
struct CoolantFlow {
  double engine = 0.0;
  double radiator = 0.0;
};
CoolantFlow coolant_flow(const CircuitParameters& parameters, const Operation& operation,
                         const CircuitFaults& faults, double lift, double missing);

/// Of what enters the engine, the share that comes from the radiator.
double inflow_share(const CircuitParameters& parameters, const CircuitFaults& faults, double lift);

} // namespace coolband
