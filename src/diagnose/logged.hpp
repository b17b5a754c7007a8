// SPDX-License-Identifier: Apache-2.0
// Whether columns of a trip's blocks say anything at all.
#pragma once

#include "coolband/segment/trip.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace coolband {

inline bool logged(const std::vector<float>& column) {
  return std::any_of(column.begin(), column.end(), [](float value) { return !std::isnan(value); });
}

/// Nothing tells standing from driving, or downhill from uphill, but the reading itself.
inline bool running_unknown(const Blocks& blocks) {
  return !logged(blocks.load) && !logged(blocks.speed);
}

} // namespace coolband
