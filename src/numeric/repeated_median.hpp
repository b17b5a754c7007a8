// SPDX-License-Identifier: Apache-2.0
// A slope that nearly half of the points cannot move, leverage points included.
#pragma once

#include <span>

namespace coolband {

/// Siegel's repeated median: the median over i of the median over j of the slopes between i and j
/// (Siegel, Biometrika 69 (1982) 242-244; from memory). Pairs closer in x than `least_step` (> 0)
/// are left out: their slopes are noise. NaN when no pair is left.
double repeated_median_slope(std::span<const double> x, std::span<const double> y,
                             double least_step);

} // namespace coolband
