// SPDX-License-Identifier: Apache-2.0
// States that take turns: a sound system, and one with its fault at work in one way or another.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace coolband {

/// One state: how likely each block is under it, and how long it usually lasts.
struct SwitchingState {
  std::vector<double> log_likelihood; ///< one a block
  double dwell_s = 900.0;             ///< mean
};

struct SwitchingResult {
  double log_likelihood = 0.0;
  std::vector<double> first; ///< probability of the first state, one a block
};

/// Forward-backward over a Markov chain: a state ends by chance at any moment, and any other may
/// follow. At least two states, all with as many blocks as `length_s`.
SwitchingResult take_turns(std::span<const SwitchingState> states, std::span<const double> length_s);

} // namespace coolband
