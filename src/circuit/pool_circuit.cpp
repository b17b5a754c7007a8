// SPDX-License-Identifier: Apache-2.0
// Normal likelihoods add up; a drive that lies far from the others counts less.
#include "circuit/circuit_prior.hpp"
#include "circuit/fit_circuit.hpp"
#include "coolband/numeric/order_statistics.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace coolband {

namespace {

constexpr auto k_size = static_cast<Eigen::Index>(k_circuit_parameters);
using Vector = Eigen::Matrix<double, k_size, 1>;
using Matrix = Eigen::Matrix<double, k_size, k_size>;

constexpr double k_t_freedom = 4.0;
constexpr int k_rounds = 20;
constexpr double k_95_pct = 1.959963984540054;

/// One drive's likelihood, ready for sums.
struct Told {
  Matrix information = Matrix::Zero();
  Vector pull = Vector::Zero();
  Vector likeliest = Vector::Zero(); ///< where the drive tells nothing: 0
  double parameters = 0.0;           ///< how many it tells, against what was known before
  double weight = 1.0;

  /// Squared distance of `at` from the drive's own values, in its own uncertainty.
  [[nodiscard]] double distance(const Vector& at) const {
    const Vector off = at - likeliest;
    return std::max(0.0, off.dot(information * off));
  }
};

Matrix prior_precision(const CircuitPrior& prior) {
  Matrix precision = Matrix::Zero();
  for (Eigen::Index p = 0; p < k_size; ++p) {
    const double scatter = prior.scatter[static_cast<std::size_t>(p)];
    precision(p, p) = 1.0 / (scatter * scatter);
  }
  return precision;
}

Vector prior_mean(const CircuitPrior& prior) { return Eigen::Map<const Vector>(prior.mean.data()); }

Told told_by(const CircuitEvidence& evidence, const Matrix& precision, const Vector& mean) {
  Told told;
  std::size_t place = 0;
  for (Eigen::Index i = 0; i < k_size; ++i) {
    for (Eigen::Index j = 0; j <= i; ++j, ++place)
      told.information(i, j) = told.information(j, i) = evidence.information[place];
    told.pull(i) = evidence.pull[static_cast<std::size_t>(i)];
  }
  // The smallest move from what is usual that satisfies the drive.
  const Matrix with_prior = told.information + 1e-3 * precision;
  told.likeliest = with_prior.ldlt().solve(told.pull + 1e-3 * precision * mean);
  told.parameters = (told.information + precision).ldlt().solve(told.information).trace();
  return told;
}

struct Pooled {
  Vector at = Vector::Zero();
  Matrix covariance = Matrix::Zero();
};

Pooled sum_up(const std::vector<Told>& drives, const Matrix& precision, const Vector& mean,
              double dispersion) {
  Matrix information = precision;
  Vector pull = precision * mean;
  for (const Told& told : drives) {
    information += told.weight / dispersion * told.information;
    pull += told.weight / dispersion * told.pull;
  }
  Pooled pooled;
  pooled.covariance = information.ldlt().solve(Matrix::Identity());
  pooled.at = pooled.covariance * pull;
  return pooled;
}

/// How much further apart the drives lie than their own uncertainties say, as a variance ratio.
double dispersion_of(const std::vector<Told>& drives, const Vector& at) {
  std::vector<double> ratios;
  for (const Told& told : drives)
    ratios.push_back(told.distance(at) / std::max(told.parameters, 0.1));
  return std::max(1.0, median(ratios));
}

Pooled robust_sum(std::vector<Told>& drives, const Matrix& precision, const Vector& mean) {
  double dispersion = 1.0;
  Pooled pooled = sum_up(drives, precision, mean, dispersion);
  for (int round = 0; round < k_rounds && drives.size() > 2; ++round) {
    dispersion = dispersion_of(drives, pooled.at);
    for (Told& told : drives)
      told.weight =
          (k_t_freedom + told.parameters) / (k_t_freedom + told.distance(pooled.at) / dispersion);
    pooled = sum_up(drives, precision, mean, dispersion);
  }
  return pooled;
}

CircuitValue value_of(double at, double error, double prior_scatter, bool logarithm) {
  const double reach = k_95_pct * error;
  CircuitValue value{at, at - reach, at + reach, error < 0.5 * prior_scatter};
  if (!logarithm) return value;
  return {std::exp(value.value), std::exp(value.low), std::exp(value.high), value.identified};
}

template <class Flag>
bool most(std::span<const CircuitEvidence> drives, Flag flag) {
  const auto count = std::count_if(drives.begin(), drives.end(), flag);
  return 2 * static_cast<std::size_t>(count) > drives.size();
}

} // namespace

std::optional<FittedCircuit> pool_circuit(std::span<const CircuitEvidence> drives) {
  if (drives.empty()) return std::nullopt;
  std::vector<double> misfits;
  for (const CircuitEvidence& drive : drives) {
    misfits.push_back(drive.misfit_k);
  }
  const CircuitPrior& prior = usual_prior();
  const Matrix precision = prior_precision(prior);
  const Vector mean = prior_mean(prior);
  std::vector<Told> told;
  for (const CircuitEvidence& drive : drives) told.push_back(told_by(drive, precision, mean));
  const Pooled pooled = robust_sum(told, precision, mean);

  FittedCircuit fitted;
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) {
    const auto i = static_cast<Eigen::Index>(p);
    fitted.values[p] = value_of(pooled.at(i), std::sqrt(pooled.covariance(i, i)), prior.scatter[p],
                                static_cast<CircuitParameter>(p) != CircuitParameter::opens);
  }
  fitted.drives = drives.size();
  fitted.misfit_k = median(misfits);
  fitted.saw_load = most(drives, [](const auto& d) { return d.saw_load; });
  fitted.saw_speed = most(drives, [](const auto& d) { return d.saw_speed; });
  fitted.saw_ambient = most(drives, [](const auto& d) { return d.saw_ambient; });
  return fitted;
}

std::string_view name_of(CircuitParameter parameter) {
  static constexpr PerParameter<std::string_view> names{
      "idle_heat", "load_heat", "loss", "wind_loss", "heater",  "inner",      "opens",  "span",
      "curve",     "bypass",    "flow", "still_air", "ram_air", "hysteresis", "wax_lag"};
  return names[static_cast<std::size_t>(parameter)];
}

} // namespace coolband
