// SPDX-License-Identifier: Apache-2.0
// Serial correlation of a series and the number of independent observations left.
#include "numeric/autocorrelation.hpp"

#include "core/portable_math.hpp"

#include <Eigen/Core>

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

// Deviations from the mean; empty when they are all rounding, as for a constant series.
Eigen::VectorXd deviations(std::span<const double> series) {
  const Eigen::Map<const Eigen::VectorXd> values(series.data(),
                                                 static_cast<Eigen::Index>(series.size()));
  Eigen::VectorXd centred = values.array() - values.mean();
  const double rounding = 1e-14 * values.cwiseAbs().maxCoeff();
  if (centred.cwiseAbs().maxCoeff() <= rounding) centred.resize(0);
  return centred;
}

double lagged_product(const Eigen::VectorXd& centred, Eigen::Index lag) {
  const Eigen::Index rest = centred.size() - lag;
  return centred.head(rest).dot(centred.tail(rest));
}

} // namespace

std::vector<double> autocorrelation(std::span<const double> series, int max_lag) {
  if (series.empty()) return {};
  const auto last =
      std::min<std::size_t>(static_cast<std::size_t>(std::max(max_lag, 0)), series.size() - 1);
  std::vector<double> rho(last + 1, 0.0);
  rho[0] = 1.0;
  const Eigen::VectorXd centred = deviations(series);
  if (centred.size() == 0) return rho;
  const double power = centred.squaredNorm();
  for (std::size_t lag = 1; lag <= last; ++lag)
    rho[lag] = lagged_product(centred, static_cast<Eigen::Index>(lag)) / power;
  return rho;
}

double effective_count(std::span<const double> series) {
  if (series.empty()) return 0.0;
  const auto n = static_cast<double>(series.size());
  const Eigen::VectorXd centred = deviations(series);
  if (centred.size() == 0) return n;
  const double power = centred.squaredNorm();
  double inflation = 1.0;
  for (Eigen::Index lag = 1; lag < centred.size(); ++lag) {
    const double rho = lagged_product(centred, lag) / power;
    if (!(rho > 0.0)) break;
    inflation += 2.0 * (1.0 - static_cast<double>(lag) / n) * rho;
  }
  return std::clamp(n / inflation, 1.0, n);
}

double effective_count_ar1(double n, double rho) {
  if (!(n > 1.0)) return n > 0.0 ? n : 0.0;
  if (rho <= 0.0) return n;
  if (rho >= 1.0) return 1.0;
  const double decay = 1.0 - rho;
  // Closed form of 1 + 2 Σ_{k<n} (1 - k/n) ρ^k. Its two terms cancel as ρ nears 1: from there on
  // the first order of the sum in 1 - ρ.
  if (n * decay < 1e-6) return 1.0 / (1.0 - decay * (n * n - 1.0) / (3.0 * n));
  const double vanished = -portable_expm1(n * portable_log1p(-decay)); // 1 - ρ^n
  const double inflation = (1.0 + rho) / decay - 2.0 * rho * vanished / (n * decay * decay);
  return std::clamp(n / inflation, 1.0, n);
}

} // namespace coolband
