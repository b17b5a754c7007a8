// SPDX-License-Identifier: Apache-2.0
// Linear regression that a few bad rows, or a few bad drives, cannot drag.
#pragma once

#include "coolband/core/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace coolband {

enum class Loss {
  squares,  ///< ordinary least squares
  huber,    ///< c = 1.345: 95 % efficient at the normal; resists outliers in y
  bisquare, ///< c = 4.685: 95 % efficient at the normal; lets gross outliers go entirely
};

enum class Termination {
  converged,       ///< largest change of a coefficient < tolerance times the larger of the
                   ///< coefficient and the scale, columns taken centred and of unit spread
  iteration_limit, ///< still moving after max_iterations; coefficients are the last ones
  exact_fit,       ///< residual scale is zero up to rounding: at least half of the rows (all
                   ///< of them for squares) fit exactly; weights are 1 there and 0 elsewhere
};

struct RobustFitOptions {
  Loss loss = Loss::huber;
  double tuning = 0.0;      ///< 0: the 95 % efficient constant of the loss
  int max_iterations = 100; ///< >= 1; for the bisquare its Huber start may use as many again
  double tolerance = 1e-9;  ///< > 0, relative change of the coefficients
  bool intercept = true;    ///< false: through the origin, one coefficient a column

  /// Empty when usable, else "name = value: violated rule".
  [[nodiscard]] std::string validate() const;
};

struct RobustFit {
  std::vector<double> coefficients;    ///< intercept first (where there is one), one a column
  std::vector<double> standard_errors; ///< same order; NaN without residual freedom, or where so
                                       ///< many rows are rejected that ψ' is not positive on
                                       ///< average. Huber's first estimate for the robust losses,
                                       ///< 0 for an exact fit. Rows are taken as independent: for a
                                       ///< time series the caller scales by sqrt(n / n_eff)
  std::vector<double> weights;         ///< one a row, 0..1, without the prior weight
  double scale = 0.0; ///< squares: sqrt(SSE/(n-p)); else MAD about zero / 0.674490 of the residuals
                      ///< (of the rows as often as their prior weight says)
  int iterations = 0; ///< weighted solves after the first plain one; 1 for squares
  Termination termination = Termination::iteration_limit;
};

/// Fits y = b0 + b1 x1 + ... by iteratively reweighted least squares, each step by a column-pivoted
/// QR (never the normal equations). `columns[j]` holds x_{j+1} for every row. The bisquare starts
/// from the Huber solution. Optional `prior_weights` (>= 0) multiply the robust weights.
/// Errors (kind input): fewer rows than coefficients, columns of different length, a rank-deficient
/// design (a duplicate column; a constant one beside an intercept), a NaN or infinity.
/// M-estimates do not resist bad leverage points: bound x before.
Result<RobustFit> fit_robust(std::span<const double> y,
                             std::span<const std::vector<double>> columns,
                             const RobustFitOptions& options = {},
                             std::span<const double> prior_weights = {});

} // namespace coolband
