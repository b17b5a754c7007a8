// SPDX-License-Identifier: Apache-2.0
// Blocks by when they begin, found without going through all of them: a log may hold millions.
#pragma once

#include "coolband/segment/trip.hpp"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace coolband {

/// Index of the first block that begins at `from_s` or later; the number of blocks where none does.
inline std::size_t first_block_from(const Blocks& blocks, double from_s) {
  const auto& starts = blocks.start_s;
  return static_cast<std::size_t>(std::lower_bound(starts.begin(), starts.end(), from_s) -
                                  starts.begin());
}

/// Blocks that begin within [from_s, to_s]: the first, and one past the last.
inline std::pair<std::size_t, std::size_t> blocks_within(const Blocks& blocks, double from_s,
                                                         double to_s) {
  const std::size_t first = first_block_from(blocks, from_s);
  const auto& starts = blocks.start_s;
  const auto past =
      std::upper_bound(starts.begin() + static_cast<std::ptrdiff_t>(first), starts.end(), to_s);
  return {first, static_cast<std::size_t>(past - starts.begin())};
}

} // namespace coolband
