// SPDX-License-Identifier: Apache-2.0
// Recursive least squares with a prior on the slopes.
#include "numeric/recursive_residuals.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace coolband {

namespace {

/// As good as unknown beside values of unit scatter that lie within thousands of 0.
constexpr double k_unknown_level_variance = 1e8;

double dot(std::span<const double> a, std::span<const double> b) {
  return std::inner_product(a.begin(), a.end(), b.begin(), 0.0);
}

} // namespace

RecursiveResiduals::RecursiveResiduals(std::span<const double> slope_errors)
    : coefficients_(slope_errors.size() + 1, 0.0),
      covariance_(coefficients_.size() * coefficients_.size(), 0.0) {
  const std::size_t size = coefficients_.size();
  covariance_[0] = k_unknown_level_variance;
  for (std::size_t j = 1; j < size; ++j)
    covariance_[j * (size + 1)] = slope_errors[j - 1] * slope_errors[j - 1];
}

std::vector<double> RecursiveResiduals::gain_direction(std::span<const double> row) const {
  const std::size_t size = coefficients_.size();
  std::vector<double> direction(size);
  for (std::size_t i = 0; i < size; ++i)
    direction[i] = dot(std::span(covariance_).subspan(i * size, size), row);
  return direction;
}

double RecursiveResiduals::residual(double y, std::span<const double> x, double variance,
                                    double bound) {
  std::vector<double> row{1.0};
  row.insert(row.end(), x.begin(), x.end());
  const std::vector<double> direction = gain_direction(row);
  const double predicted_variance = dot(row, direction) + variance;
  const double error = std::sqrt(predicted_variance);
  const double standardised = (y - dot(coefficients_, row)) / error;
  const double moved = std::clamp(standardised, -bound, bound) * error;
  const bool first = covariance_[0] == k_unknown_level_variance;
  const double step = (first ? standardised * error : moved) / predicted_variance;
  const std::size_t size = coefficients_.size();
  for (std::size_t i = 0; i < size; ++i) {
    coefficients_[i] += direction[i] * step;
    for (std::size_t j = 0; j < size; ++j)
      covariance_[i * size + j] -= direction[i] * direction[j] / predicted_variance;
  }
  return standardised;
}

} // namespace coolband
