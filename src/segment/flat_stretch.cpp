// SPDX-License-Identifier: Apache-2.0
// Stretches of a trip in which the coolant reading does not move at all.
#include "segment/flat_stretch.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

std::optional<double> range_within(const std::vector<float>& column, const FlatStretch& stretch) {
  float low = 0.0F;
  float high = 0.0F;
  bool any = false;
  for (std::size_t i = stretch.first; i <= stretch.last; ++i) {
    if (std::isnan(column[i])) continue;
    low = any ? std::min(low, column[i]) : column[i];
    high = any ? std::max(high, column[i]) : column[i];
    any = true;
  }
  if (!any) return std::nullopt;
  return static_cast<double>(high) - static_cast<double>(low);
}

} // namespace coolband
