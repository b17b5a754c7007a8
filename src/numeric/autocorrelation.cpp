// SPDX-License-Identifier: Apache-2.0
// Serial correlation of a series and the number of independent observations left.
#include "numeric/autocorrelation.hpp"

#include "core/portable_math.hpp"

#include <Eigen/Core>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>

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

using Pair = double __attribute__((vector_size(16)));

Pair pair_at(const double* values) {
  Pair pair;
  std::memcpy(&pair, values, sizeof pair);
  return pair;
}

/// The sums of products of a series with itself, some values later. Each is added up in four parts,
/// by twos: of every four products the first two and the last two. What is added waits for what was
/// added before, so several lags go side by side; each gives what it would alone.
template <std::size_t lags>
std::array<double, lags> lagged_products(std::span<const double> values, std::size_t first_lag) {
  const std::size_t longest = values.size() - first_lag;
  const std::size_t common = (longest - (lags - 1)) / 4 * 4;
  std::array<Pair, lags> front{};
  std::array<Pair, lags> back{};
  const auto add_four = [&](std::size_t i, std::size_t k) {
    const double* const now = values.data() + i;
    const double* const later = now + first_lag + k;
    front[k] += pair_at(now) * pair_at(later);
    back[k] += pair_at(now + 2) * pair_at(later + 2);
  };
  for (std::size_t i = 0; i < common; i += 4) {
    for (std::size_t k = 0; k < lags; ++k) add_four(i, k);
  }
  std::array<double, lags> sums{};
  for (std::size_t k = 0; k < lags; ++k) {
    const double* const later = values.data() + first_lag + k;
    const std::size_t count = longest - k;
    std::size_t i = common;
    for (; i + 4 <= count; i += 4) add_four(i, k);
    Pair pair = front[k] + back[k];
    if (i + 2 <= count) {
      pair += pair_at(values.data() + i) * pair_at(later + i);
      i += 2;
    }
    sums[k] = pair[0] + pair[1];
    if (i < count) sums[k] += values[i] * later[i];
  }
  return sums;
}

/// Lag after lag, a few of them found at once.
class LaggedProducts {
 public:
  explicit LaggedProducts(const Eigen::VectorXd& centred)
      : values_(centred.data(), static_cast<std::size_t>(centred.size())) {}

  /// Of the next lag, from 1 on, which is below the length of the series.
  double next() {
    const std::size_t lag = ++last_;
    if (lag + k_at_once > values_.size()) return lagged_products<1>(values_, lag)[0];
    const std::size_t place = (lag - 1) % k_at_once;
    if (place == 0) found_ = lagged_products<k_at_once>(values_, lag);
    return found_[place];
  }

 private:
  static constexpr std::size_t k_at_once = 4;

  std::span<const double> values_;
  std::size_t last_ = 0;
  std::array<double, k_at_once> found_{};
};

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
  LaggedProducts products(centred);
  for (std::size_t lag = 1; lag <= last; ++lag) rho[lag] = products.next() / power;
  return rho;
}

double effective_count(std::span<const double> series) {
  if (series.empty()) return 0.0;
  const auto n = static_cast<double>(series.size());
  const Eigen::VectorXd centred = deviations(series);
  if (centred.size() == 0) return n;
  const double power = centred.squaredNorm();
  double inflation = 1.0;
  LaggedProducts products(centred);
  for (Eigen::Index lag = 1; lag < centred.size(); ++lag) {
    const double rho = products.next() / power;
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
