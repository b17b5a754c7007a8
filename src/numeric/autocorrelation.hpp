// SPDX-License-Identifier: Apache-2.0
// How many independent looks a serially correlated series is worth.
#pragma once

#include <span>
#include <vector>

namespace coolband {

/// Autocorrelation at lags 0..max_lag (biased estimator, divisor n, about the mean). All zero but
/// lag 0 for a constant series; max_lag is cut to n - 1.
std::vector<double> autocorrelation(std::span<const double> series, int max_lag);

/// Effective number of independent observations, n / (1 + 2 Σ (1 - k/n) ρ_k) with the sum cut at
/// the first ρ_k <= 0 (initial positive sequence), between 1 and n. 0 for an empty series.
double effective_count(std::span<const double> series);

/// The same for a given AR(1) correlation, exact finite sum.
double effective_count_ar1(double n, double rho);

} // namespace coolband
