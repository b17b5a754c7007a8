// SPDX-License-Identifier: Apache-2.0
// Values over time as lines and areas: gaps stay gaps, and however long a trip, the picture keeps
// its size: what falls into one column of it is drawn from its lowest to its highest value.
#pragma once

#include "coolband/segment/trip.hpp"
#include "report/svg_canvas.hpp"

#include <vector>

namespace coolband {

/// Where the blocks of a trip stand.
struct TimeAxis {
  const Blocks& blocks;
  Scale x;               ///< s from the trip's first row
  double bridge_s = 0.0; ///< longer holes are not drawn over
};

/// What stands at one place: from `low` to `high`, in the units of the value.
struct Reach {
  double x = 0.0; ///< px
  double low = 0.0;
  double high = 0.0;
};
/// Reaches without a gap between them.
using Stretch = std::vector<Reach>;

/// At most so many reaches for one column of values.
inline constexpr std::size_t k_most_reaches = 800;

/// `low` and `high` have one entry a block (NaN: nothing there), and may be the same column.
std::vector<Stretch> stretches_of(const TimeAxis& axis, const std::vector<float>& low,
                                  const std::vector<float>& high);

void draw_line(SvgCanvas& canvas, const std::vector<Stretch>& stretches, const Scale& y,
               const Paint& paint);
/// From `low` to `high`.
void draw_area(SvgCanvas& canvas, const std::vector<Stretch>& stretches, const Scale& y,
               const Paint& paint);

} // namespace coolband
