// SPDX-License-Identifier: Apache-2.0
// Medians, quantiles and robust spreads. Drop NaN before: one NaN makes the result NaN.
#pragma once

#include <span>
#include <vector>

namespace coolband {

/// MAD of a normal sample times this estimates its standard deviation: 1 / Φ⁻¹(3/4).
inline constexpr double k_mad_to_sigma = 1.4826022185056018;

/// Quantile with linear interpolation between order statistics (Hyndman & Fan type 7, the default
/// of R and NumPy). `p` is clamped to [0, 1]. Empty input gives NaN.
double quantile(std::vector<double> values, double p);

/// Quantile of already ascending values, same definition.
double quantile_sorted(std::span<const double> ascending, double p);

/// Median; the mean of the middle two for an even count. Empty input gives NaN.
double median(std::vector<double> values);

/// Median absolute deviation about the median, times `k_mad_to_sigma`. Empty input gives NaN;
/// 0 when more than half of the values are equal.
double mad_sigma(std::vector<double> values);

/// The smallest value at which the weights to its left and with it reach half of all weight.
/// Weights must be >= 0 and as many as the values; no weight at all, or
/// another length, gives NaN.
double weighted_median(std::span<const double> values, std::span<const double> weights);

} // namespace coolband
