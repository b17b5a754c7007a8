// SPDX-License-Identifier: Apache-2.0
// Least squares and M-estimates of regression.
#include "coolband/numeric/robust_fit.hpp"

#include "numeric/design.hpp"
#include "numeric/loss.hpp"
#include "numeric/reweighting.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace coolband {

namespace {

using Eigen::VectorXd;

void finish_squares(const Design& design, Solution& solution) {
  const double freedom = design.freedom();
  const double squares = design.prior.dot(solution.residuals.cwiseAbs2());
  solution.scale = freedom > 0.0 ? std::sqrt(squares / freedom) : 0.0;
  solution.iterations = 1;
  solution.termination = Termination::converged;
  const double weight = std::sqrt(design.prior.sum() / design.rows_used);
  if (solution.scale <= weight * rounding_level(design, solution.beta)) {
    solution.scale = 0.0;
    solution.termination = Termination::exact_fit;
  }
}

// False when the rows that keep weight do not determine every coefficient.
bool solve_robust(const Design& design, LeastSquares& solver, const LossShape& shape,
                  const RobustFitOptions& options, Solution& solution) {
  if (options.loss == Loss::squares) return true;
  const ReweightingControl control{options.max_iterations, options.tolerance};
  if (options.loss == Loss::huber) return reweight(design, solver, shape, control, solution);
  // The start needs the right valley, not the last digit.
  ReweightingControl start = control;
  start.tolerance = std::max(options.tolerance, 1e-4);
  if (!reweight(design, solver, loss_shape(Loss::huber, 0.0), start, solution)) return false;
  if (solution.termination == Termination::exact_fit) return true;
  return reweight(design, solver, shape, control, solution);
}

} // namespace

std::string RobustFitOptions::validate() const {
  if (!(tuning >= 0.0) || std::isinf(tuning))
    return fmt::format("tuning = {}: must be 0 or a positive number", tuning);
  if (max_iterations < 1)
    return fmt::format("max_iterations = {}: must be at least 1", max_iterations);
  if (!(tolerance > 0.0) || std::isinf(tolerance))
    return fmt::format("tolerance = {}: must be a positive number", tolerance);
  return {};
}

Result<RobustFit> fit_robust(std::span<const double> y,
                             std::span<const std::vector<double>> columns,
                             const RobustFitOptions& options,
                             std::span<const double> prior_weights) {
  if (std::string fault = options.validate(); !fault.empty())
    return Error{ErrorKind::usage, {}, "regression: " + fault, {}, {}};
  if (std::string fault = check_regression(y, columns, prior_weights, options.intercept);
      !fault.empty())
    return input_error(std::move(fault));

  const Design design = make_design(y, columns, prior_weights, options.intercept);
  LeastSquares solver;
  if (!solver.solve(design, design.prior)) return input_error(rank_complaint(options.intercept));
  const Eigen::MatrixXd inverse_gram = solver.inverse_gram();

  Solution solution;
  solution.beta = solver.beta();
  solution.residuals = design.y - design.x * solution.beta;
  solution.weights = VectorXd::Ones(design.y.size());
  if (options.loss == Loss::squares) finish_squares(design, solution);

  const LossShape shape = loss_shape(options.loss, options.tuning);
  if (!solve_robust(design, solver, shape, options, solution))
    return input_error("regression: too few rows agree to determine every coefficient");
  return make_fit(design, solution, inverse_gram, variance_factor(design, solution, shape));
}

} // namespace coolband
