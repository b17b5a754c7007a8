// SPDX-License-Identifier: Apache-2.0
// Linear regression that nearly half of the rows cannot drag, wherever they lie in x.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/numeric/robust_fit.hpp"

#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace coolband {

struct MmFitOptions {
  double tuning = 0.0;       ///< of the last step; 0: 4.685, 95 % efficient at the normal
  int max_iterations = 200;  ///< >= 1, for the S-estimate and for the last step each
  double tolerance = 1e-9;   ///< > 0, relative change of the coefficients
  bool intercept = true;     ///< false: through the origin, one coefficient a column
  int subsets = 500;         ///< >= 1, random starts where not all can be tried
  double least_scale = 0.0;  ///< >= 0: the scale is never below it. For values on a coarse grid,
                             ///< where half of the rows may agree exactly without being exact:
                             ///< grid step / √12 is the scatter that the grid alone makes
  std::uint64_t seed = 2718; ///< of the random starts

  /// Empty when usable, else "name = value: violated rule".
  [[nodiscard]] std::string validate() const;
};

/// MM-estimate (Yohai, Annals of Statistics 15 (1987) 642-656; from memory): an S-estimate with the
/// bisquare (c = 1.5476, ρ held at 1/2) for start and scale, then bisquare steps with that scale
/// held. Errors and prior weights are those of fit_robust, and so are the standard errors but for
/// (X'WX/w̄)^-1 in place of (X'X)^-1: a rejected leverage point adds no precision.
///
/// Breakdown: as long as bad rows carry less than (1 - p/n)/2 of the prior weight (n rows of
/// weight, p coefficients; so nearly half of many), they can neither carry the coefficients away
/// nor make the scale useless, leverage points included. This needs good rows in general position:
/// where many good rows say nothing about a coefficient (a column that is mostly constant), the bad
/// share of the others counts for it. Up to 1000 elemental subsets are tried all; of more, 500 are
/// drawn by prior weight, and with a share e of bad weight the chance that none is good is
/// (1 - (1-e)^p)^500: at e = 0.4 below 1e-17 for p = 5, at e = 0.48 below 1e-8.
///
/// Deterministic: rows are put in order of their values before anything is summed or drawn, so the
/// order in which they come changes no bit, and no library's random numbers are used.
///
/// `scale` is that of the S-estimate; `iterations` counts the last steps. exact_fit: see there, the
/// rows that agree exactly carry at least (1 + p/n)/2 of the weight.
Result<RobustFit> fit_mm(std::span<const double> y, std::span<const std::vector<double>> columns,
                         const MmFitOptions& options = {},
                         std::span<const double> prior_weights = {});

} // namespace coolband
