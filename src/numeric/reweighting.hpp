// SPDX-License-Identifier: Apache-2.0
// Iteratively reweighted least squares: the loop that the robust fits share, and what it reports.
#pragma once

#include "coolband/numeric/robust_fit.hpp"
#include "numeric/design.hpp"
#include "numeric/loss.hpp"

#include <Eigen/Core>

#include <span>
#include <string>
#include <vector>

namespace coolband {

/// Where a fit stands, in the standardised columns of its design.
struct Solution {
  Eigen::VectorXd beta;
  Eigen::VectorXd residuals; ///< y - X beta
  Eigen::VectorXd weights;   ///< robust part only
  double scale = 0.0;
  int iterations = 0;
  Termination termination = Termination::iteration_limit;
};

struct ReweightingControl {
  int max_iterations = 100;
  double tolerance = 1e-9;
  double held_scale = 0.0; ///< > 0: keep this one; else the MAD about zero after every step
};

/// Empty when these rows can be fitted, else what is wrong with them.
std::string check_regression(std::span<const double> y,
                             std::span<const std::vector<double>> columns,
                             std::span<const double> prior, bool intercept);

/// Said when the design is rank-deficient.
std::string rank_complaint(bool intercept);

/// Residuals this small are rounding, not scatter.
double rounding_level(const Design& design, const Eigen::VectorXd& beta);

/// MAD about zero, each row as often as its prior weight says. `sizes` is room for one number a
/// row.
double residual_scale(const Design& design, const Eigen::VectorXd& residuals,
                      std::vector<double>& sizes);

/// A step this small no longer matters: relative to the coefficient, or to the scatter where the
/// coefficient is smaller (one that is truly zero would never settle in relative terms).
bool settled(const Eigen::VectorXd& step, const Solution& solution, double tolerance);

/// On an exact fit the loss has no scale to work with: a row agrees, or it does not count.
void finish_exact(const Design& design, Solution& solution);

/// Takes beta and its residuals further. False when the weighted design loses rank.
bool reweight(const Design& design, LeastSquares& solver, const LossShape& shape,
              const ReweightingControl& control, Solution& solution);

/// What multiplies (X'X)^-1: s² for squares, else Huber's first covariance estimate (P. J. Huber,
/// Robust Statistics, 1981, section 7.6) with his correction factor, rows weighted by the prior.
double variance_factor(const Design& design, const Solution& solution, const LossShape& shape);

/// The result in the caller's columns.
RobustFit make_fit(const Design& design, const Solution& solution,
                   const Eigen::MatrixXd& inverse_gram, double variance);

} // namespace coolband
