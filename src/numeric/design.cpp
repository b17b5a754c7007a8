// SPDX-License-Identifier: Apache-2.0
// The design matrix of a regression, standardised, and weighted least squares on it.
#include "numeric/design.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// A column whose pivot is below this share of the largest repeats the others up to the rounding of
// its values; coefficients told apart by less would hold no digit a log can carry.
constexpr double k_rank_threshold = 1e-10;

Eigen::Map<const VectorXd> view(std::span<const double> values) {
  return {values.data(), static_cast<Index>(values.size())};
}

void add_column(Design& design, Index j, std::span<const double> values) {
  const auto raw = view(values);
  const double largest = raw.cwiseAbs().maxCoeff();
  const double centre = design.intercept ? raw.mean() : 0.0;
  auto column = design.x.col(j);
  column = raw.array() - centre;
  const double reach = column.cwiseAbs().maxCoeff();
  design.centre[j] = centre;
  design.spread[j] = 1.0;
  if (reach <= 1e-12 * largest) {
    column.setZero(); // nothing to tell: left for the rank test to find
    return;
  }
  // Divided by its reach first, so that squares neither overflow nor vanish.
  column /= reach;
  const double root_mean_square =
      std::sqrt(column.squaredNorm() / static_cast<double>(column.size()));
  column /= root_mean_square;
  design.spread[j] = reach * root_mean_square;
}

} // namespace

Design make_design(std::span<const double> y, std::span<const std::vector<double>> columns,
                   std::span<const double> prior, bool intercept) {
  const auto rows = static_cast<Index>(y.size());
  const Index first = intercept ? 1 : 0;
  const auto parameters = static_cast<Index>(columns.size()) + first;
  Design design;
  design.intercept = intercept;
  design.x.resize(rows, parameters);
  if (intercept) design.x.col(0).setOnes();
  design.centre = VectorXd::Zero(parameters);
  design.spread = VectorXd::Ones(parameters);
  for (Index j = first; j < parameters; ++j)
    add_column(design, j, columns[static_cast<std::size_t>(j - first)]);
  design.centre_y = intercept ? view(y).mean() : 0.0;
  design.mean_size_y = view(y).cwiseAbs().mean();
  design.y = view(y).array() - design.centre_y;
  design.prior = prior.empty() ? VectorXd::Ones(rows) : VectorXd(view(prior));
  design.rows_used = static_cast<double>((design.prior.array() > 0.0).count());
  design.uniform_prior = (design.prior.array() == design.prior[0]).all();
  return design;
}

std::vector<double> Design::raw_coefficients(const VectorXd& beta) const {
  const VectorXd slopes = beta.cwiseQuotient(spread);
  std::vector<double> raw(slopes.begin(), slopes.end());
  if (intercept) raw[0] = centre_y + beta[0] - slopes.dot(centre);
  return raw;
}

std::vector<double> Design::raw_standard_errors(const MatrixXd& inverse_gram,
                                                double variance) const {
  std::vector<double> errors(static_cast<std::size_t>(x.cols()));
  for (Index j = 0; j < x.cols(); ++j)
    errors[static_cast<std::size_t>(j)] = std::sqrt(variance * inverse_gram(j, j)) / spread[j];
  if (!intercept) return errors;
  VectorXd at_origin = -centre.cwiseQuotient(spread);
  at_origin[0] = 1.0;
  errors[0] = std::sqrt(variance * at_origin.dot(inverse_gram * at_origin));
  return errors;
}

bool LeastSquares::solve(const Design& design, const VectorXd& weights) {
  root_ = weights.cwiseSqrt();
  qr_.setThreshold(k_rank_threshold);
  qr_.compute(root_.asDiagonal() * design.x);
  const Index size = design.x.cols();
  if (qr_.rank() < size) return false;
  // What its own solve does, without another copy of all rows.
  root_ = root_.cwiseProduct(design.y);
  root_.applyOnTheLeft(qr_.householderQ().setLength(qr_.nonzeroPivots()).adjoint());
  beta_ = qr_.colsPermutation() *
          qr_.matrixQR().topRows(size).triangularView<Eigen::Upper>().solve(root_.head(size));
  return beta_.allFinite();
}

MatrixXd LeastSquares::inverse_gram() const {
  const Index size = qr_.cols();
  const MatrixXd inverse =
      qr_.colsPermutation() * qr_.matrixQR().topRows(size).triangularView<Eigen::Upper>().solve(
                                  MatrixXd::Identity(size, size));
  return inverse * inverse.transpose();
}

} // namespace coolband
