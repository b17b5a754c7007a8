// SPDX-License-Identifier: Apache-2.0
// What every sound vehicle can do, whether or not its drives have shown it: hold its coolant in a
// hot country's summer. Vehicles are tried for it, laden and uphill, and standing with the fan in
// command (common practice, no source).
#pragma once

#include "circuit/circuit_drive.hpp"
#include "circuit/reduced_circuit.hpp"

#include <vector>

namespace coolband {

/// One thing that a drive asked of the cooling, moved into the heat that vehicles are made for.
struct Demand {
  HeatConditions conditions;
  double limit_c = 0.0; ///< a sound vehicle comes to rest below, give or take 5 K
};

/// The heaviest running of the drive, and its standing idle, where it has them.
std::vector<Demand> demands_of(const CircuitInputs& inputs);

/// How far a vehicle fails a demand, in standard deviations; 0 where it meets it.
double shortfall(const CircuitValues& circuit, const Demand& demand);

} // namespace coolband
