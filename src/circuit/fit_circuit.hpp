// SPDX-License-Identifier: Apache-2.0
// Fits the reduced circuit to drives: each drive by itself, then all of them together from what
// each told, so that drives can be added later without their logs.
#pragma once

#include "coolband/circuit/fitted_circuit.hpp"
#include "coolband/segment/trip.hpp"

#include <optional>
#include <span>
#include <vector>

namespace coolband {

struct CircuitFitOptions {
  double at_most_s = 3.0 * 3600.0; ///< of each drive, from its beginning
  int rounds = 4; ///< of re-weighting the readings; residuals are weighted as Student's t, ν = 4
  int steps = 6;  ///< Gauss-Newton steps a round at most
};

/// What the drive tells. None where it has too little to go on: under 10 minutes of running with a
/// reading, or never warm. `level_c` is where the trip settles.
std::optional<CircuitEvidence> fit_drive(const Trip& trip, const CircuitFitOptions& options = {});

/// All drives together; the order does not matter. Drives that contradict the others beyond their
/// own uncertainty count less (Student's t, ν = 4). None without a drive.
std::optional<FittedCircuit> pool_circuit(std::span<const CircuitEvidence> drives);


} // namespace coolband
