// SPDX-License-Identifier: Apache-2.0
// A trip as the thermal circuit takes it.
#pragma once

#include "circuit/circuit_drive.hpp"
#include "coolband/segment/trip.hpp"

#include <cstddef>
#include <span>
#include <vector>

namespace coolband {

/// A trip, or the telling parts of a long one, for the circuit.
struct CircuitTrip {
  CircuitInputs inputs;
  std::vector<std::size_t> block; ///< of the trip, one an entry of the inputs
  /// Load, road speed and weather were logged: what heats and cools the engine is known, not made
  /// up, and the circuit's word counts in full.
  bool complete = false;
};

struct BlockRange {
  std::size_t first = 0;
  std::size_t last = 0;
};

/// At most `k_most_blocks` blocks: the beginning, and what lies about `telling` (the most telling
/// first). Readings of `unbelievable` blocks are not used.
CircuitTrip circuit_trip(const Blocks& blocks, std::span<const BlockRange> telling,
                         const std::vector<bool>& unbelievable = {});
inline constexpr std::size_t k_most_blocks = 1080; // three hours

} // namespace coolband
