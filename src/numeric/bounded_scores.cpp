// SPDX-License-Identifier: Apache-2.0
// Robustly self-starting scores.
#include "numeric/bounded_scores.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "numeric/distributions.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// Of the MAD at the normal: 0.3675 (Huber, Robust Statistics, 1981, from memory).
constexpr double k_mad_efficiency = 0.37;

} // namespace

double BoundedScores::spread() const {
  if (sizes_.size() < k_unscored) return least_spread_;
  return std::max(least_spread_, k_mad_to_sigma * quantile_sorted(sizes_, 0.5));
}

double BoundedScores::score(double residual) {
  double score = 0.0;
  if (sizes_.size() >= k_unscored) {
    const double freedom = k_mad_efficiency * static_cast<double>(sizes_.size());
    const double tail = student_t_cdf(-std::abs(residual) / spread(), freedom);
    // Within the bound no tail is small.
    const double size = tail < normal_cdf(-k_most_score) ? k_most_score : -normal_quantile(tail);
    score = std::copysign(size, residual);
  }
  const double size = std::abs(residual);
  sizes_.insert(std::upper_bound(sizes_.begin(), sizes_.end(), size), size);
  return score;
}

} // namespace coolband
