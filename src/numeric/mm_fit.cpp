// SPDX-License-Identifier: Apache-2.0
// The MM-estimate of regression: an S-estimate, then bisquare steps with its scale held.
#include "numeric/mm_fit.hpp"

#include "numeric/design.hpp"
#include "numeric/reweighting.hpp"
#include "numeric/s_estimate.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <string>
#include <utility>

namespace coolband {

namespace {

using Eigen::Index;
using Eigen::VectorXd;

// Rows in order of their values, so that sums and draws do not depend on how they came.
struct OrderedRows {
  std::vector<std::size_t> place; ///< which row of the caller is i-th
  std::vector<double> y;
  std::vector<std::vector<double>> columns;
  std::vector<double> prior;
};

OrderedRows in_order(std::span<const double> y, std::span<const std::vector<double>> columns,
                     std::span<const double> prior) {
  OrderedRows rows;
  rows.place.resize(y.size());
  std::iota(rows.place.begin(), rows.place.end(), std::size_t{0});
  const auto before = [&](std::size_t a, std::size_t b) {
    if (y[a] != y[b]) return y[a] < y[b];
    for (const std::vector<double>& column : columns)
      if (column[a] != column[b]) return column[a] < column[b];
    return !prior.empty() && prior[a] < prior[b];
  };
  std::sort(rows.place.begin(), rows.place.end(), before);
  const auto arranged = [&](std::span<const double> values) {
    std::vector<double> result(values.size());
    for (std::size_t i = 0; i < result.size(); ++i) result[i] = values[rows.place[i]];
    return result;
  };
  rows.y = arranged(y);
  for (const std::vector<double>& column : columns) rows.columns.push_back(arranged(column));
  rows.prior = arranged(prior);
  return rows;
}

// The rows that agree settle the last digits; the start went through a few of them only.
void polish_exact(const Design& design, LeastSquares& solver, Solution& solution) {
  if (!solver.solve(design, design.prior.cwiseProduct(solution.weights))) return;
  solution.beta = solver.beta();
  solution.residuals = design.y - design.x * solution.beta;
  finish_exact(design, solution);
}

// Bisquare steps with the scale of the start held. False when too few rows agree.
bool last_steps(const Design& design, LeastSquares& solver, const LossShape& shape,
                const MmFitOptions& options, Solution& solution) {
  solution.iterations = 0;
  const bool start_settled = solution.termination == Termination::converged;
  const ReweightingControl control{options.max_iterations, options.tolerance, solution.scale};
  if (!reweight(design, solver, shape, control, solution)) return false;
  if (!start_settled) solution.termination = Termination::iteration_limit;
  for (Index row = 0; row < solution.residuals.size(); ++row)
    solution.weights[row] = shape.weight(solution.residuals[row] / solution.scale);
  return solver.solve(design, design.prior.cwiseProduct(solution.weights)); // for (X'WX)^-1
}

RobustFit report(const Design& design, const LeastSquares& solver, const LossShape& shape,
                 const Solution& solution, const OrderedRows& rows) {
  const double mean_weight = design.prior.dot(solution.weights) / design.prior.sum();
  const double variance = mean_weight * variance_factor(design, solution, shape);
  RobustFit fit = make_fit(design, solution, solver.inverse_gram(), variance);
  const std::vector<double> ordered = fit.weights;
  for (std::size_t i = 0; i < ordered.size(); ++i) fit.weights[rows.place[i]] = ordered[i];
  return fit;
}

} // namespace

std::string MmFitOptions::validate() const {
  const RobustFitOptions common{Loss::bisquare, tuning, max_iterations, tolerance, intercept};
  if (std::string fault = common.validate(); !fault.empty()) return fault;
  if (subsets < 1) return fmt::format("subsets = {}: must be at least 1", subsets);
  if (!(least_scale >= 0.0) || std::isinf(least_scale))
    return fmt::format("least_scale = {}: must be 0 or a positive number", least_scale);
  return {};
}

Result<RobustFit> fit_mm(std::span<const double> y, std::span<const std::vector<double>> columns,
                         const MmFitOptions& options, std::span<const double> prior_weights) {
  if (std::string fault = options.validate(); !fault.empty())
    return Error{ErrorKind::usage, {}, "regression: " + fault, {}, {}};
  if (std::string fault = check_regression(y, columns, prior_weights, options.intercept);
      !fault.empty())
    return input_error(std::move(fault));

  const OrderedRows rows = in_order(y, columns, prior_weights);
  const Design design = make_design(rows.y, rows.columns, rows.prior, options.intercept);
  LeastSquares solver;
  if (!solver.solve(design, design.prior)) return input_error(rank_complaint(options.intercept));

  const SSearch search{options.subsets, options.seed, options.least_scale, options.max_iterations,
                       options.tolerance};
  std::optional<Solution> solution = s_estimate(design, solver.beta(), search);
  const LossShape shape = loss_shape(Loss::bisquare, options.tuning);
  bool solved = solution.has_value();
  if (solved && solution->termination == Termination::exact_fit)
    polish_exact(design, solver, *solution);
  else if (solved)
    solved = last_steps(design, solver, shape, options, *solution);
  if (!solved) return input_error("regression: too few rows agree to determine every coefficient");
  return report(design, solver, shape, *solution, rows);
}

} // namespace coolband
