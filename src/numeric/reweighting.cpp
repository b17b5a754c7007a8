// SPDX-License-Identifier: Apache-2.0
// Iteratively reweighted least squares: the loop, its scale and when it stops.
#include "numeric/reweighting.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "numeric/selection.hpp"
#include "numeric/special_values.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <span>
#include <utility>

namespace coolband {

namespace {

using Eigen::Index;
using Eigen::VectorXd;

// A log that resolves 0.001 of 100 is eight decades above it.
constexpr double k_rounding = 1e-13;

bool all_finite(std::span<const double> values) {
  return std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
}

/// The scale of residuals that move less from step to step: it is looked for near where it was, in
/// one pass, and only where it has gone further among all of them.
class ScaleWatch {
 public:
  explicit ScaleWatch(const Design& design) : design_(design) {}

  double next(const VectorXd& residuals) {
    std::optional<double> middle;
    if (design_.uniform_prior && last_ > 0.0) middle = middle_near(residuals);
    const double scale = middle ? k_mad_to_sigma * *middle : all(residuals, middle);
    const double moved = last_ > 0.0 ? std::abs(*middle / last_ - 1.0) : k_widest;
    reach_ = std::clamp(3.0 * moved, k_narrowest, k_widest); // NaN comes of a NaN only
    last_ = *middle;
    return scale;
  }

 private:
  static constexpr double k_narrowest = 0.01;
  static constexpr double k_widest = 0.2;
  static constexpr Index k_few = 32;

  double all(const VectorXd& residuals, std::optional<double>& middle) {
    const double scale = residual_scale(design_, residuals, sizes_);
    middle = design_.uniform_prior ? scale / k_mad_to_sigma : 0.0;
    return scale;
  }

  /// The median size, exactly as among all; nothing where it does not lie within reach.
  std::optional<double> middle_near(const VectorXd& residuals) {
    if (residuals.size() < k_few) return std::nullopt;
    const double low = last_ * (1.0 - reach_);
    const double high = last_ * (1.0 + reach_);
    sizes_.resize(static_cast<std::size_t>(residuals.size()));
    std::size_t below = 0;
    std::size_t count = 0;
    std::size_t known = 0;
    for (Index row = 0; row < residuals.size(); ++row) {
      const double size = std::abs(residuals[row]);
      sizes_[count] = size;
      below += size < low ? 1U : 0U;
      count += size >= low && size <= high ? 1U : 0U;
      known += std::isnan(size) ? 0U : 1U;
    }
    const std::size_t rank = (sizes_.size() - 1) / 2;
    const std::size_t last = sizes_.size() / 2; // the same for an odd number of rows
    if (known < sizes_.size() || rank < below || last >= below + count) return std::nullopt;
    const auto near = std::span(sizes_).first(count);
    select(near, rank - below);
    const double at = near[rank - below];
    if (last == rank) return at;
    const auto above = near.subspan(rank - below + 1);
    const double next = *std::min_element(above.begin(), above.end());
    return next == at ? at : at + 0.5 * (next - at);
  }

  const Design& design_;
  std::vector<double> sizes_; ///< room for a number a row, taken once
  double last_ = 0.0;         ///< median size of the step before; 0 when it is not known
  double reach_ = k_widest;
};

} // namespace

std::string check_regression(std::span<const double> y,
                             std::span<const std::vector<double>> columns,
                             std::span<const double> prior, bool intercept) {
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
  const std::size_t coefficients = columns.size() + (intercept ? 1 : 0);
  if (coefficients == 0) return "regression: neither a column nor an intercept to fit";
  const auto unused = static_cast<std::size_t>(std::count(prior.begin(), prior.end(), 0.0));
  if (y.size() - unused < coefficients)
    return fmt::format("regression: {} rows for {} coefficients", y.size() - unused, coefficients);
  return {};
}

double residual_scale(const Design& design, const VectorXd& residuals, std::vector<double>& sizes) {
  sizes.assign(residuals.begin(), residuals.end());
  for (double& size : sizes) size = std::abs(size);
  if (design.uniform_prior) return k_mad_to_sigma * quantile_of(sizes, 0.5);
  return k_mad_to_sigma * weighted_median(sizes, {design.prior.data(), sizes.size()});
}

std::string rank_complaint(bool intercept) {
  return intercept ? "regression: a column is constant or follows from the others"
                   : "regression: a column is zero or follows from the others";
}

double rounding_level(const Design& design, const VectorXd& beta) {
  return k_rounding * (design.mean_size_y + beta.cwiseAbs().sum());
}

bool settled(const VectorXd& step, const Solution& solution, double tolerance) {
  return (step.array().abs() < tolerance * solution.beta.array().abs().max(solution.scale)).all();
}

void finish_exact(const Design& design, Solution& solution) {
  const double level = std::max(solution.scale, rounding_level(design, solution.beta));
  solution.weights = (solution.residuals.array().abs() <= 3.0 * level).cast<double>();
  solution.scale = 0.0;
  solution.termination = Termination::exact_fit;
}

bool reweight(const Design& design, LeastSquares& solver, const LossShape& shape,
              const ReweightingControl& control, Solution& solution) {
  ScaleWatch watch(design);
  VectorXd counted; // room that is taken once: there are many rows and steps
  const auto scale = [&] {
    return control.held_scale > 0.0 ? control.held_scale : watch.next(solution.residuals);
  };
  solution.termination = Termination::iteration_limit;
  for (int i = 0; i < control.max_iterations; ++i) {
    solution.scale = scale();
    if (solution.scale <= rounding_level(design, solution.beta)) {
      finish_exact(design, solution);
      return true;
    }
    const double inverse = 1.0 / solution.scale;
    for (Index row = 0; row < solution.residuals.size(); ++row)
      solution.weights[row] = shape.weight(solution.residuals[row] * inverse);
    counted = design.prior.cwiseProduct(solution.weights);
    if (!solver.solve(design, counted)) return false;
    const VectorXd step = solver.beta() - solution.beta;
    solution.beta = solver.beta();
    solution.residuals.noalias() = design.y - design.x * solution.beta;
    ++solution.iterations;
    if (settled(step, solution, control.tolerance)) {
      solution.termination = Termination::converged;
      break;
    }
  }
  solution.scale = scale();
  if (solution.scale <= rounding_level(design, solution.beta)) finish_exact(design, solution);
  return true;
}

double variance_factor(const Design& design, const Solution& solution, const LossShape& shape) {
  if (!(design.freedom() > 0.0)) return k_nan;
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
  if (!(slope > 0.0)) return k_nan;
  const double slope_variance = slope_squares / design.prior.sum() - slope * slope;
  const double parameters = static_cast<double>(design.x.cols());
  const double correction = 1.0 + parameters / design.rows_used * slope_variance / (slope * slope);
  const double psi_scale = correction * solution.scale / slope;
  return psi_scale * psi_scale * psi_squares / design.freedom();
}

RobustFit make_fit(const Design& design, const Solution& solution,
                   const Eigen::MatrixXd& inverse_gram, double variance) {
  RobustFit fit;
  fit.coefficients = design.raw_coefficients(solution.beta);
  fit.standard_errors = design.raw_standard_errors(inverse_gram, variance);
  fit.weights.assign(solution.weights.begin(), solution.weights.end());
  fit.scale = solution.scale;
  fit.iterations = solution.iterations;
  fit.termination = solution.termination;
  return fit;
}

} // namespace coolband
