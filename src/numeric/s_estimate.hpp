// SPDX-License-Identifier: Apache-2.0
// The S-estimate of regression: the coefficients whose residuals have the least robust scale.
#pragma once

#include "numeric/design.hpp"
#include "numeric/reweighting.hpp"

#include <Eigen/Core>

#include <cstdint>
#include <optional>

namespace coolband {

/// M-estimate of scale: the s with Σ w ρ(r/s) = (1 - p/n) Σ w / 2. 0 when residuals of at most that
/// much weight exceed the rounding level, and without residual freedom.
double bisquare_scale(const Design& design, const Eigen::VectorXd& residuals, double rounding);

struct SSearch {
  int subsets = 500;
  std::uint64_t seed = 0;
  double least_scale = 0.0; ///< scales below it are told apart by the loss at it
  int max_iterations = 200;
  double tolerance = 1e-9;
};

/// The best of all elemental fits where there are at most 1000 of them, else of `subsets` random
/// ones, each taken two steps down, and of the best five and the `plain` fit taken to the end. On
/// more than 2000 rows the choice of the five is made on 2000 of them. Nothing when no start leads
/// to a determined solution.
std::optional<Solution> s_estimate(const Design& design, const Eigen::VectorXd& plain,
                                   const SSearch& search);

} // namespace coolband
