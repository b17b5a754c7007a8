// SPDX-License-Identifier: Apache-2.0
// How well each candidate accounts for what was read, beside the sound vehicle.
#pragma once

#include "coolband/diagnose/judgement.hpp"
#include "diagnose/circuit_knowledge.hpp"
#include "diagnose/circuit_trip.hpp"

#include <array>
#include <vector>

namespace coolband {

struct CircuitEvidence {
  std::vector<Hypothesis> hypotheses; ///< best first, the sound vehicle among them
  /// Natural logarithm of the evidence for each condition beyond that for the sound vehicle;
  /// nothing (0) for those of which the circuit knows nothing.
  std::array<double, k_cause_count> log_evidence{};
};

/// Empty hypotheses where less than `k_least_scored_s` can be held against the circuit. A sensor
/// that begins or ceases to be wrong makes the reading step: without `reading_steps` (the log shows
/// that there is none) only one that is wrong all the time is an account.
CircuitEvidence circuit_evidence(const CircuitTrip& trip, const CircuitKnowledge& knowledge,
                                 bool reading_steps = true);

} // namespace coolband
