// SPDX-License-Identifier: Apache-2.0
// Three heat capacities in a row, block, coolant and radiator, and one step of their heat balance.
#pragma once

namespace coolband {

struct ThreeNodes {
  double block = 0.0;
  double coolant = 0.0;
  double radiator = 0.0;
};

/// C dT/dt = -out T + (from the neighbours) + source, all constant over a step.
struct HeatChain {
  ThreeNodes capacity; ///< kJ/K, above 0
  ThreeNodes out;      ///< kW/K leaving a node per its own temperature
  double block_to_coolant = 0.0;
  double coolant_to_block = 0.0;
  double coolant_to_radiator = 0.0;
  double radiator_to_coolant = 0.0;
  ThreeNodes source; ///< kW
};

struct ChainStep {
  ThreeNodes end;
  /// Every flow is linear in the temperatures; taken at these, it is the step's mean flow, and
  /// capacity * (end - begin) = step * balance holds to rounding.
  ThreeNodes mean;
};

/// Second order and L-stable: no step is too long for however small a capacity, though one that
/// follows within a third of the step passes its aim by up to a fifth once. Alexander, SIAM J.
/// Numer. Anal. 14 (1977) 1006-1021: diagonally implicit, two stages (from memory).
ChainStep advance(const HeatChain& chain, const ThreeNodes& begin, double step_s);

} // namespace coolband
