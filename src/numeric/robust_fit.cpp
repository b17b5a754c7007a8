// SPDX-License-Identifier: Apache-2.0
// Iteratively reweighted least squares: the loop, its scale and when it stops.
#include "coolband/numeric/robust_fit.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "numeric/design.hpp"
#include "numeric/loss.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace coolband {

namespace {

using Eigen::Index;
using Eigen::VectorXd;

// Residuals this small against what they were subtracted from are rounding, not scatter. A log
// that resolves 0.001 of 100 is eight decades above it.
constexpr double k_rounding = 1e-13;

Error input_error(std::string message) {
  return {ErrorKind::input, {}, std::move(message), {}, {}};
}

struct Solution {
  VectorXd beta;      ///< in the standardised columns of the design
  VectorXd residuals; ///< y - X beta
  VectorXd weights;   ///< robust part only
  double scale = 0.0;
  int iterations = 0;
  Termination termination = Termination::iteration_limit;
};

bool all_finite(std::span<const double> values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

std::string check_input(std::span<const double> y, std::span<const std::vector<double>> columns,
                        std::span<const double> prior) {
  for (std::size_t j = 0; j < columns.size(); ++j) {
    if (columns[j].size() != y.size())
      return fmt::format("regression: column {} has {} rows, not {}", j + 1, columns[j].size(),
                         y.size());
    if (!all_finite(columns[j]))
      return fmt::format("regression: column {} holds a value that is not finite", j + 1);
  }
  if (!all_finite(y)) return "regression: the response holds a value that is not finite";
  if (!prior.empty() && prior.size() != y.size())
    return fmt::format("regression: {} prior weights for {} rows", prior.size(), y.size());
  if (std::any_of(prior.begin(), prior.end(),
                  [](double w) { return !(w >= 0.0) || std::isinf(w); }))
    return "regression: a prior weight is negative or not finite";
  const auto unused = static_cast<std::size_t>(std::count(prior.begin(), prior.end(), 0.0));
  if (y.size() - unused < columns.size() + 1)
    return fmt::format("regression: {} rows for {} coefficients", y.size() - unused,
                       columns.size() + 1);
  return {};
}

// MAD about zero, since the intercept has already centred the residuals.
double residual_scale(const Design& design, const VectorXd& residuals) {
  std::vector<double> sizes(residuals.begin(), residuals.end());
  for (double& size : sizes) size = std::abs(size);
  if (design.uniform_prior) return k_mad_to_sigma * median(std::move(sizes));
  return k_mad_to_sigma * weighted_median(sizes, {design.prior.data(), sizes.size()});
}

double rounding_level(const Design& design, const VectorXd& beta) {
  return k_rounding * (design.mean_size_y + beta.cwiseAbs().sum());
}

// On an exact fit the loss has no scale to work with: a row agrees, or it does not count.
void finish_exact(const Design& design, Solution& solution) {
  const double level = std::max(solution.scale, rounding_level(design, solution.beta));
  solution.weights = (solution.residuals.array().abs() <= 3.0 * level).cast<double>();
  solution.scale = 0.0;
  solution.termination = Termination::exact_fit;
}

// Relative to the coefficient, or to the scatter where the coefficient is smaller: one that is
// truly zero would never settle in relative terms. Columns have unit spread here.
bool settled(const VectorXd& step, const Solution& solution, double tolerance) {
  return (step.array().abs() < tolerance * solution.beta.array().abs().max(solution.scale)).all();
}

bool refine(const Design& design, LeastSquares& solver, const LossShape& shape,
            const RobustFitOptions& options, Solution& solution) {
  solution.termination = Termination::iteration_limit;
  for (int i = 0; i < options.max_iterations; ++i) {
    solution.scale = residual_scale(design, solution.residuals);
    if (solution.scale <= rounding_level(design, solution.beta)) {
      finish_exact(design, solution);
      return true;
    }
    const double inverse = 1.0 / solution.scale;
    for (Index row = 0; row < solution.residuals.size(); ++row)
      solution.weights[row] = shape.weight(solution.residuals[row] * inverse);
    if (!solver.solve(design, design.prior.cwiseProduct(solution.weights))) return false;
    const VectorXd step = solver.beta() - solution.beta;
    solution.beta = solver.beta();
    solution.residuals.noalias() = design.y - design.x * solution.beta;
    ++solution.iterations;
    if (settled(step, solution, options.tolerance)) {
      solution.termination = Termination::converged;
      break;
    }
  }
  solution.scale = residual_scale(design, solution.residuals);
  if (solution.scale <= rounding_level(design, solution.beta)) finish_exact(design, solution);
  return true;
}

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

// What multiplies (X'X)^-1: s² for squares, else Huber's first covariance estimate (P. J. Huber,
// Robust Statistics, 1981, section 7.6) with his correction factor, rows weighted by the prior.
double variance_factor(const Design& design, const Solution& solution, const LossShape& shape) {
  if (!(design.freedom() > 0.0)) return std::numeric_limits<double>::quiet_NaN();
  if (solution.scale == 0.0) return 0.0;
  if (shape.loss == Loss::squares) return solution.scale * solution.scale;
  double psi_squares = 0.0;
  double slope = 0.0;
  double slope_squares = 0.0;
  for (Index row = 0; row < solution.residuals.size(); ++row) {
    const double u = solution.residuals[row] / solution.scale;
    const double psi = u * shape.weight(u);
    const double derivative = shape.psi_slope(u);
    psi_squares += design.prior[row] * psi * psi;
    slope += design.prior[row] * derivative;
    slope_squares += design.prior[row] * derivative * derivative;
  }
  slope /= design.prior.sum();
  const double slope_variance = slope_squares / design.prior.sum() - slope * slope;
  const double parameters = static_cast<double>(design.x.cols());
  const double correction = 1.0 + parameters / design.rows_used * slope_variance / (slope * slope);
  const double psi_scale = correction * solution.scale / slope;
  return psi_scale * psi_scale * psi_squares / design.freedom();
}

RobustFit report(const Design& design, const Eigen::MatrixXd& inverse_gram,
                 const Solution& solution, const LossShape& shape) {
  RobustFit fit;
  fit.coefficients = design.raw_coefficients(solution.beta);
  fit.standard_errors =
      design.raw_standard_errors(inverse_gram, variance_factor(design, solution, shape));
  fit.weights.assign(solution.weights.begin(), solution.weights.end());
  fit.scale = solution.scale;
  fit.iterations = solution.iterations;
  fit.termination = solution.termination;
  return fit;
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
  if (std::string fault = check_input(y, columns, prior_weights); !fault.empty())
    return input_error(std::move(fault));

  const Design design = make_design(y, columns, prior_weights);
  LeastSquares solver;
  if (!solver.solve(design, design.prior))
    return input_error("regression: a column is constant or follows from the others");
  const Eigen::MatrixXd inverse_gram = solver.inverse_gram();

  Solution solution;
  solution.beta = solver.beta();
  solution.residuals = design.y - design.x * solution.beta;
  solution.weights = VectorXd::Ones(design.y.size());
  if (options.loss == Loss::squares) finish_squares(design, solution);

  bool solved = true;
  if (options.loss == Loss::huber)
    solved = refine(design, solver, loss_shape(Loss::huber, options.tuning), options, solution);
  if (options.loss == Loss::bisquare) {
    // The start needs the right valley, not the last digit.
    RobustFitOptions start = options;
    start.tolerance = std::max(options.tolerance, 1e-4);
    solved = refine(design, solver, loss_shape(Loss::huber, 0.0), start, solution);
    if (solved && solution.termination != Termination::exact_fit)
      solved =
          refine(design, solver, loss_shape(Loss::bisquare, options.tuning), options, solution);
  }
  if (!solved) return input_error("regression: too few rows agree to determine every coefficient");
  return report(design, inverse_gram, solution, loss_shape(options.loss, options.tuning));
}

} // namespace coolband
