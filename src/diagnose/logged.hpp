// SPDX-License-Identifier: Apache-2.0
// Whether a column of a trip's blocks says anything at all.
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

namespace coolband {

inline bool logged(const std::vector<float>& column) {
  return std::any_of(column.begin(), column.end(), [](float value) { return !std::isnan(value); });
}

} // namespace coolband
