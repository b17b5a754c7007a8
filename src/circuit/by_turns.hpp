// SPDX-License-Identifier: Apache-2.0
// A circuit that works now in one way and now in another: several models of it run side by side,
// each as probable as it has foretold the readings.
#pragma once

#include "circuit/reduced_circuit.hpp"

#include <span>
#include <vector>

namespace coolband {

/// One way of working.
struct Mode {
  ReducedFault fault;
  double dwell_s = 900.0;  ///< mean time that it lasts
  bool hands_back = false; ///< only the first mode may follow
};

/// How readings are weighed: Student's t, as many of them as are independent.
struct Weighing {
  double misfit_k = 1.0;
  double look_s = 200.0; ///< readings closer than this say the same thing
};
/// Log-likelihood of one block up to a constant.
double log_likelihood(double deviation_k, double length_s, const Weighing& weighing);

struct ByTurns {
  /// Of the readings by `weighing`, over all the ways in which the modes may follow each other: a
  /// turn costs what chance has against it, in full, whatever a reading counts.
  double log_likelihood = 0.0;
  std::vector<double> first;      ///< probability of the first mode in each scored block
  std::vector<double> deviations; ///< K, reading less the modes' mean, of the scored blocks
};

/// Interacting multiple models (Blom & Bar-Shalom, IEEE Trans. Automatic Control 33 (1988) 780-783,
/// from memory): a mode ends by chance at any moment and any other may follow; a mode that has been
/// unlikely goes on from where the likely ones are. At least two modes, the sound one first. They
/// are followed as if readings `tracking_look_s` apart were independent: too sure of itself, but
/// quick to notice a turn.
ByTurns run_by_turns(const CircuitInputs& inputs, const CircuitValues& circuit,
                     std::span<const Mode> modes, const Observer& observer,
                     const Weighing& weighing, double tracking_look_s);

} // namespace coolband
