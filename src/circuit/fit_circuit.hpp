// SPDX-License-Identifier: Apache-2.0
// Fits the reduced circuit to the drives of one vehicle.
#pragma once

#include "circuit/circuit_drive.hpp"
#include "coolband/circuit/fitted_circuit.hpp"

#include <optional>
#include <span>

namespace coolband {

struct CircuitFitOptions {
  int rounds = 4; ///< of re-weighting the readings, as Student's t with 4 degrees of freedom
  int steps = 6;  ///< Gauss-Newton steps a round at most
};

/// The likeliest circuit with what is usual as prior knowledge (normal, independent). None where
/// the drives hold less than `k_least_scored_s` to go on. The order of the drives does not matter.
std::optional<FittedCircuit> fit_circuit(std::span<const CircuitDrive> drives,
                                         const CircuitFitOptions& options = {});
inline constexpr double k_least_scored_s = 600.0;

} // namespace coolband
