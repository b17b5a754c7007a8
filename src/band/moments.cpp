// SPDX-License-Identifier: Apache-2.0
// Regression without rows.
#include "band/moments.hpp"

#include <Eigen/Cholesky>

#include <algorithm>
#include <optional>
#include <utility>

namespace coolband {

namespace {

/// Place of a factor; its size when it is not there.
std::size_t place_of(const Moments& moments, Factor factor) {
  const auto found = std::find(moments.factors.begin(), moments.factors.end(), factor);
  return static_cast<std::size_t>(found - moments.factors.begin());
}

std::size_t triangle(std::size_t a, std::size_t b) {
  const std::size_t row = std::max(a, b);
  return row * (row + 1) / 2 + std::min(a, b);
}

double covariance_at(const Moments& moments, Factor a, Factor b) {
  return moments.covariance[triangle(place_of(moments, a), place_of(moments, b))];
}

/// Covariance of two blends.
double covariance_of(const Moments& moments, const Regressor& a, const Regressor& b) {
  double sum = 0.0;
  for (const auto& [factor_a, share_a] :
       {std::pair(a.factor, 1.0 - a.share_of_other), std::pair(a.other, a.share_of_other)}) {
    if (share_a == 0.0) continue;
    for (const auto& [factor_b, share_b] :
         {std::pair(b.factor, 1.0 - b.share_of_other), std::pair(b.other, b.share_of_other)}) {
      if (share_b != 0.0) sum += share_a * share_b * covariance_at(moments, factor_a, factor_b);
    }
  }
  return sum;
}

} // namespace

bool has(const Moments& moments, Factor factor) {
  return place_of(moments, factor) < moments.factors.size();
}

double mean_of(const Moments& moments, Factor factor) {
  return moments.mean[place_of(moments, factor)];
}

double covariance_of(const Moments& moments, Factor a, Factor b) {
  return covariance_at(moments, a, b);
}

MomentSum::MomentSum(std::vector<Factor> factors) : factors_(std::move(factors)) {
  const auto count = static_cast<Eigen::Index>(factors_.size());
  mean_ = Row::Zero(count);
  products_ = Square::Zero(count, count);
}

void MomentSum::add(std::span<const double> values, double weight) {
  if (weight <= 0.0) return;
  const Eigen::Map<const Row> row(values.data(), static_cast<Eigen::Index>(values.size()));
  weight_ += weight;
  const Row from_old = row - mean_;
  mean_ += from_old * (weight / weight_);
  products_ += weight * from_old * (row - mean_).transpose();
}

Moments MomentSum::finish() const {
  Moments moments{factors_, {mean_.data(), mean_.data() + mean_.size()}, {}};
  for (Eigen::Index i = 0; i < mean_.size(); ++i) {
    for (Eigen::Index j = 0; j <= i; ++j)
      moments.covariance.push_back((products_(i, j) + products_(j, i)) / 2.0 / weight_);
  }
  return moments;
}

void add_covariance(Moments& sum, const Moments& from, double weight) {
  if (sum.factors.empty()) {
    sum = from;
    std::fill(sum.mean.begin(), sum.mean.end(), 0.0);
    std::fill(sum.covariance.begin(), sum.covariance.end(), 0.0);
  }
  for (std::size_t i = 0; i < sum.covariance.size(); ++i)
    sum.covariance[i] += weight * from.covariance[i];
}

bool has(const Moments& moments, const Regressor& regressor) {
  return has(moments, regressor.factor) &&
         (regressor.share_of_other == 0.0 || has(moments, regressor.other));
}

double mean_of(const Moments& moments, const Regressor& regressor) {
  const double first = mean_of(moments, regressor.factor);
  if (regressor.share_of_other == 0.0) return first;
  return first + regressor.share_of_other * (mean_of(moments, regressor.other) - first);
}

Normal normal_equations(const Moments& moments, std::span<const Regressor> regressors) {
  const Regressor coolant{Factor::coolant, Factor::coolant, 0.0};
  const auto count = static_cast<Eigen::Index>(regressors.size());
  Normal normal{Eigen::MatrixXd(count, count), Eigen::VectorXd(count),
                covariance_of(moments, coolant, coolant)};
  for (Eigen::Index i = 0; i < count; ++i) {
    const Regressor& a = regressors[static_cast<std::size_t>(i)];
    normal.xy(i) = covariance_of(moments, a, coolant);
    for (Eigen::Index j = 0; j < count; ++j)
      normal.xx(i, j) = covariance_of(moments, a, regressors[static_cast<std::size_t>(j)]);
  }
  return normal;
}

std::optional<double> own_load_slope(const Moments& moments) {
  if (!has(moments, Factor::load_60s)) return std::nullopt;
  const double variance = covariance_of(moments, Factor::load_60s, Factor::load_60s);
  if (variance < k_least_load_scatter_pct * k_least_load_scatter_pct) return std::nullopt;
  return covariance_of(moments, Factor::coolant, Factor::load_60s) / variance;
}

OwnFit own_fit(const Moments& moments) {
  OwnFit fit;
  for (const auto& [factor, least_spread] : k_movers) {
    const bool varies = has(moments, factor) &&
                        covariance_of(moments, factor, factor) >= least_spread * least_spread;
    if (varies) fit.regressors.push_back({factor, factor, 0.0});
  }
  if (fit.regressors.empty()) return fit;
  const Normal normal = normal_equations(moments, fit.regressors);
  // Brought to unit diagonal, so that units do not decide what is singular.
  const Eigen::VectorXd unit = normal.xx.diagonal().cwiseSqrt().cwiseInverse();
  const Eigen::LDLT<Eigen::MatrixXd> solver(unit.asDiagonal() * normal.xx * unit.asDiagonal());
  if (solver.vectorD().minCoeff() < 1e-3) {
    // Two of them say the same in this drive: the first alone.
    fit.regressors.resize(1);
    fit.slopes = {normal.xy(0) / normal.xx(0, 0)};
    fit.explained_k2 = fit.slopes[0] * normal.xy(0);
    return fit;
  }
  const Eigen::VectorXd slopes = unit.asDiagonal() * solver.solve(unit.asDiagonal() * normal.xy);
  fit.slopes.assign(slopes.data(), slopes.data() + slopes.size());
  fit.explained_k2 = slopes.dot(normal.xy);
  return fit;
}

} // namespace coolband
