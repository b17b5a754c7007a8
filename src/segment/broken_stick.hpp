// SPDX-License-Identifier: Apache-2.0
// Least-squares lines: one through all points, or two that meet at the best place.
#pragma once

#include <optional>
#include <span>

namespace coolband {

/// Slope of the least-squares line of y on x; none when all x are equal or there is no point.
std::optional<double> line_slope(std::span<const double> x, std::span<const double> y);

struct BrokenStick {
  double x = 0.0; ///< where the two lines meet: one of the given x
  double y = 0.0; ///< on the lines
  double slope_before = 0.0;
  double slope_after = 0.0;
};

/// The two lines that meet at one of the points and leave the least squares, with at least
/// `least_side` points (>= 2) on each side of the meeting point. `x` never falls. None when there
/// are too few points, or x does not move on either side.
std::optional<BrokenStick> fit_broken_stick(std::span<const double> x, std::span<const double> y,
                                            std::size_t least_side);

} // namespace coolband
