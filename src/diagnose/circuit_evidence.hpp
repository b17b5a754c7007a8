// SPDX-License-Identifier: Apache-2.0
// The thermal circuit held against a trip: what a sound vehicle would have read, and how well each
// candidate accounts for what was read.
#pragma once

#include "circuit/circuit_drive.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "coolband/segment/trip.hpp"
#include "diagnose/circuit_knowledge.hpp"

#include <array>
#include <cstddef>
#include <span>
#include <vector>

namespace coolband {

/// A trip, or the telling parts of a long one, for the circuit.
struct CircuitTrip {
  CircuitInputs inputs;
  std::vector<std::size_t> block; ///< of the trip, one an entry of the inputs
};

/// At most `k_most_blocks` blocks: the beginning, and what lies about `telling` (block ranges, the
/// most telling first). Readings of `unbelievable` blocks are not used.
struct BlockRange {
  std::size_t first = 0;
  std::size_t last = 0;
};
CircuitTrip circuit_trip(const Blocks& blocks, std::span<const BlockRange> telling,
                         const std::vector<bool>& unbelievable = {});
inline constexpr std::size_t k_most_blocks = 1080; // three hours

/// One entry a block of the trip, NaN where the circuit was not run.
struct SoundCourse {
  std::vector<float> reading_c; ///< °C, of a sound vehicle in this driving and weather
  std::vector<float> error_k;   ///< its standard error by what is not known of the vehicle
};
/// Runs free: the readings serve at the beginning of each stretch only.
SoundCourse sound_course(const CircuitTrip& trip, const CircuitKnowledge& knowledge,
                         std::size_t blocks);

/// What the circuit says is believed to this part: its candidates are simpler than the faults that
/// they stand for (judgement).
inline constexpr double k_circuit_weight = 0.7;

struct CircuitEvidence {
  std::vector<Hypothesis> hypotheses; ///< best first, the sound vehicle among them
  /// Natural logarithm of the evidence for each condition beyond that for the sound vehicle;
  /// nothing (0) for those of which the circuit knows nothing.
  std::array<double, k_cause_count> log_evidence{};
};

/// Empty hypotheses where less than `k_least_scored_s` can be held against the circuit.
CircuitEvidence circuit_evidence(const CircuitTrip& trip, const CircuitKnowledge& knowledge);

/// Mean square of the sound vehicle's misfit, beside that of its normal drives: about 1 in them.
double sound_misfit_ratio(const CircuitTrip& trip, const CircuitKnowledge& knowledge);

} // namespace coolband
