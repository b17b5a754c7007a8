// SPDX-License-Identifier: Apache-2.0
// Average run lengths of the CUSUM and the EWMA by their integral equations.
#include "core/portable_math.hpp"
#include "numeric/control_chart.hpp"
#include "numeric/distributions.hpp"
#include "numeric/find_root.hpp"
#include "numeric/special_values.hpp"

#include <Eigen/Core>
#include <Eigen/LU>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace coolband {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double k_longest = 1e10; // the equations near singularity: error about 1e-14 times this
constexpr double k_highest_limit = 50.0;
constexpr double k_least_lambda = 0.002;

struct Rule {
  VectorXd nodes;
  VectorXd weights;
};

// Gauss-Legendre on [low, high]: Newton's method on the Legendre polynomial from Tricomi's guess.
Rule gauss_legendre(Index count, double low, double high) {
  Rule rule{VectorXd(count), VectorXd(count)};
  const auto n = static_cast<double>(count);
  for (Index i = 0; i < count; ++i) {
    double x = std::cos(std::numbers::pi * (static_cast<double>(i) + 0.75) / (n + 0.5));
    double slope = 0.0;
    for (int step = 0; step < 10; ++step) {
      double before = 1.0;
      double value = x;
      for (double k = 2.0; k <= n; k += 1.0) {
        const double next = ((2.0 * k - 1.0) * x * value - (k - 1.0) * before) / k;
        before = value;
        value = next;
      }
      slope = n * (x * value - before) / (x * x - 1.0);
      const double move = value / slope;
      x -= move;
      if (std::abs(move) < 1e-15) break;
    }
    rule.nodes[i] = low + 0.5 * (high - low) * (1.0 + x);
    rule.weights[i] = (high - low) / ((1.0 - x * x) * slope * slope);
  }
  return rule;
}

// Nodes for a kernel of standard deviation 1 over this length; doubling them changes nothing in
// twelve digits.
Index node_count(double length) { return 24 + static_cast<Index>(std::ceil(6.0 * length)); }

double bounded(double run_length) {
  if (run_length >= 1.0 && run_length <= k_longest) return run_length;
  return k_infinity;
}

struct RunLengths {
  double from_zero;
  double started; ///< from the head start
};

// L(z) = 1 + L(0) Φ(k - z - shift) + ∫₀ʰ L(y) φ(y + k - z - shift) dy at 0 and at the nodes, then
// at `start` from these.
RunLengths upper_run_lengths(double shift, const CusumDesign& design) {
  const Rule rule = gauss_legendre(node_count(design.h), 0.0, design.h);
  const Index count = rule.nodes.size();
  const auto row_at = [&](double z) {
    Eigen::RowVectorXd row(count + 1);
    const double drift = design.k - z - shift;
    row[0] = normal_cdf(drift);
    for (Index j = 0; j < count; ++j)
      row[j + 1] = rule.weights[j] * normal_density(rule.nodes[j] + drift);
    return row;
  };
  MatrixXd equations(count + 1, count + 1);
  equations.row(0) = -row_at(0.0);
  for (Index i = 0; i < count; ++i) equations.row(i + 1) = -row_at(rule.nodes[i]);
  equations.diagonal().array() += 1.0;
  const VectorXd lengths = equations.partialPivLu().solve(VectorXd::Ones(count + 1));
  const double from_zero = bounded(lengths[0]);
  if (std::isinf(from_zero)) return {k_infinity, k_infinity};
  return {from_zero, bounded(1.0 + row_at(design.head_start).dot(lengths))};
}

bool usable(double shift, const CusumDesign& design) {
  return std::isfinite(shift) && design.validate().empty() && design.h <= k_highest_limit;
}

} // namespace

double one_sided_cusum_run_length(double shift, const CusumDesign& design) {
  return usable(shift, design) ? upper_run_lengths(shift, design).started : k_nan;
}

// Lucas & Crosier, Technometrics 24 (1982) 199-205: 1/L = 1/U + 1/D for the two sides from 0; with
// a head start (U' D + D' U - U D)/(U + D).
double cusum_average_run_length(double shift, const CusumDesign& design) {
  if (!usable(shift, design)) return k_nan;
  const RunLengths shorter = upper_run_lengths(std::abs(shift), design);
  const RunLengths longer = shift == 0.0 ? shorter : upper_run_lengths(-std::abs(shift), design);
  if (std::isinf(shorter.from_zero)) return k_infinity;
  // Divided by the longer one, which may be endless.
  const double ratio =
      std::isinf(longer.from_zero) ? 1.0 : std::min(1.0, longer.started / longer.from_zero);
  return (shorter.started + shorter.from_zero * (ratio - 1.0)) /
         (1.0 + shorter.from_zero / longer.from_zero);
}

double cusum_limit(double average_run_length, double k) {
  if (!(average_run_length >= 2.0 && average_run_length <= 1e9) || !(k >= 0.0 && k <= 10.0))
    return k_nan;
  const auto excess = [&](double h) {
    return portable_log(cusum_average_run_length(0.0, {k, h, 0.0}) / average_run_length);
  };
  double high = 1.0;
  while (high < k_highest_limit && excess(high) < 0.0) high = std::min(1.5 * high, k_highest_limit);
  if (excess(high) < 0.0 || excess(1e-6) > 0.0) return k_nan;
  return find_root(excess, 1e-6, high, 1e-10);
}

double ewma_average_run_length(double shift, double lambda, double limit) {
  if (!std::isfinite(shift) || !(lambda >= k_least_lambda && lambda <= 1.0) ||
      !(limit > 0.0 && limit <= 10.0))
    return k_nan;
  // In units of lambda the kernel has standard deviation 1: u = z / lambda,
  // L(u) = 1 + ∫ L(v) φ(v - (1 - lambda) u - shift) dv within ± reach.
  const double reach = limit / std::sqrt(lambda * (2.0 - lambda));
  const Rule rule = gauss_legendre(node_count(2.0 * reach), -reach, reach);
  const Index count = rule.nodes.size();
  const auto row_at = [&](double u) {
    Eigen::RowVectorXd row(count);
    for (Index j = 0; j < count; ++j)
      row[j] = rule.weights[j] * normal_density(rule.nodes[j] - (1.0 - lambda) * u - shift);
    return row;
  };
  MatrixXd equations(count, count);
  for (Index i = 0; i < count; ++i) equations.row(i) = -row_at(rule.nodes[i]);
  equations.diagonal().array() += 1.0;
  const VectorXd lengths = equations.partialPivLu().solve(VectorXd::Ones(count));
  return bounded(1.0 + row_at(0.0).dot(lengths));
}

} // namespace coolband
