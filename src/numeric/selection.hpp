// SPDX-License-Identifier: Apache-2.0
// The value of a rank, without sorting and without a copy.
#pragma once

#include <cstddef>
#include <span>

namespace coolband {

/// As std::nth_element: brings the value of rank `rank`, below the length, to its place, no larger
/// one before it and no smaller one behind. No value may be NaN.
void select(std::span<double> values, std::size_t rank);

/// As `quantile`, in place: the order of the values is lost.
double quantile_of(std::span<double> values, double p);

} // namespace coolband
