// SPDX-License-Identifier: Apache-2.0
// Stretches of a trip in which the coolant reading does not move at all.
#pragma once

#include "coolband/segment/trip.hpp"

#include <cmath>
#include <optional>
#include <vector>

namespace coolband {

struct FlatStretch {
  std::size_t first = 0; ///< block
  std::size_t last = 0;
  double length_s = 0.0;
};

/// Calls `visit` with each run of blocks with one and the same mean, in time order; blocks with the
/// engine off or without a reading are passed over.
template <class Visit>
void for_each_flat_stretch(const Blocks& blocks, Visit visit) {
  std::optional<FlatStretch> stretch;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const float reading = blocks.coolant[i];
    if (std::isnan(reading) || blocks.phase[i] == Phase::off) continue;
    const bool same = stretch && std::abs(reading - blocks.coolant[stretch->first]) < 1e-4F;
    if (!same) {
      if (stretch) visit(*stretch);
      stretch = FlatStretch{i, i, 0.0};
    }
    stretch->last = i;
    stretch->length_s = blocks.end_s[i] - blocks.start_s[stretch->first];
  }
  if (stretch) visit(*stretch);
}

/// Greatest less smallest known value of a column within the stretch; nothing when none is known.
std::optional<double> range_within(const std::vector<float>& column, const FlatStretch& stretch);

} // namespace coolband
