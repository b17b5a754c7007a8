// SPDX-License-Identifier: Apache-2.0
// Damped Gauss-Newton with what is usual as prior knowledge; the readings are weighted as Student's
// t, and count as often as they are independent.
#include "circuit/fit_circuit.hpp"

#include "circuit/circuit_drive.hpp"
#include "circuit/circuit_prior.hpp"
#include "circuit/reduced_circuit.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "numeric/autocorrelation.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace coolband {

namespace {

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;

constexpr double k_least_running_s = 600.0;
/// Where to begin: regulated running lies in the lower half of the opening span (domain practice).
constexpr double k_level_above_opening_k = 4.0;
constexpr double k_coldest_regulation_c = 70.0;
constexpr double k_t_freedom = 4.0;
/// No drive is predicted better than this from block to block, K: half the usual 1 °C step over
/// sqrt(3), as the step's own error.
constexpr double k_least_misfit_k = 0.15;
/// Independent looks are no closer than this, s: the engine's heat capacity sees to that.
constexpr double k_least_correlation_s = 60.0;

/// The parameters of one drive: the circuit's, and the weather where it was not logged.
class DriveFit {
 public:
  DriveFit(const CircuitDrive& drive, std::optional<double> level_c)
      : drive_(drive), prior_(usual_prior()), knows_weather_(drive.saw_ambient), at_(prior_.mean) {
    if (level_c && *level_c >= k_coldest_regulation_c)
      at_[static_cast<std::size_t>(CircuitParameter::opens)] = *level_c - k_level_above_opening_k;
    if (!knows_weather_) {
      at_.push_back(0.0);
      prior_.mean.push_back(0.0);
      prior_.scatter.push_back(k_weather_scatter_k);
    }
    for (std::size_t i = 0; i < drive.size(); ++i) {
      if (drive.scored[i] != 0) scored_.push_back(i);
    }
  }

  void run(const CircuitFitOptions& options) {
    deviations_ = deviations_at(at_);
    for (int round = 0; round < options.rounds; ++round) {
      weigh();
      for (int step = 0; step < options.steps; ++step) {
        if (!improve()) break;
      }
    }
    weigh();
  }

  [[nodiscard]] CircuitEvidence evidence() const {
    CircuitEvidence evidence;
    const auto count = static_cast<Eigen::Index>(k_circuit_parameters);
    const Matrix jacobian = slopes();
    Matrix information = jacobian.transpose() * weights_.asDiagonal() * jacobian;
    Vector pull =
        information * as_vector(at_) + jacobian.transpose() * weights_.asDiagonal() * deviations_;
    if (!knows_weather_) drop_last(information, pull);
    store(evidence, information.topLeftCorner(count, count), pull.head(count));
    evidence.misfit_k = misfit_k_;
    evidence.saw_load = drive_.saw_load;
    evidence.saw_speed = drive_.saw_speed;
    evidence.saw_ambient = drive_.saw_ambient;
    return evidence;
  }

 private:
  static constexpr double k_weather_scatter_k = 12.0;

  static Vector as_vector(const std::vector<double>& values) {
    return Eigen::Map<const Vector>(values.data(), static_cast<Eigen::Index>(values.size()));
  }

  /// Takes the weather out, which is this drive's own, as unknown as it was before.
  void drop_last(Matrix& information, Vector& pull) const {
    const Eigen::Index last = information.rows() - 1;
    const double precision = 1.0 / (k_weather_scatter_k * k_weather_scatter_k);
    const double pivot = information(last, last) + precision;
    const Vector cross = information.col(last).head(last);
    const double last_pull = pull(last); // its prior mean is 0
    information =
        (information.topLeftCorner(last, last) - cross * cross.transpose() / pivot).eval();
    pull = (pull.head(last) - cross * last_pull / pivot).eval();
  }

  static void store(CircuitEvidence& evidence, const Matrix& information, const Vector& pull) {
    evidence.pull.assign(pull.data(), pull.data() + pull.size());
    for (Eigen::Index i = 0; i < information.rows(); ++i) {
      for (Eigen::Index j = 0; j <= i; ++j) evidence.information.push_back(information(i, j));
    }
  }

  [[nodiscard]] Vector deviations_at(const std::vector<double>& at) const {
    const CircuitValues circuit = own_units(at);
    const auto predicted = knows_weather_ ? predict_readings(drive_, circuit)
                                          : predict_readings(with_weather(at.back()), circuit);
    Vector deviations(static_cast<Eigen::Index>(scored_.size()));
    for (std::size_t k = 0; k < scored_.size(); ++k) {
      const double deviation = drive_.coolant_c[scored_[k]] - predicted[scored_[k]];
      deviations(static_cast<Eigen::Index>(k)) = std::isnan(deviation) ? 0.0 : deviation;
    }
    return deviations;
  }

  [[nodiscard]] CircuitDrive with_weather(double warmer_k) const {
    CircuitDrive drive = drive_;
    for (double& ambient_c : drive.ambient_c) ambient_c += warmer_k;
    return drive;
  }

  /// d(prediction)/d(parameter), a column a parameter.
  [[nodiscard]] Matrix slopes() const {
    Matrix jacobian(deviations_.size(), static_cast<Eigen::Index>(at_.size()));
    std::vector<double> moved = at_;
    for (std::size_t p = 0; p < at_.size(); ++p) {
      const double step = 0.05 * prior_.scatter[p];
      moved[p] = at_[p] + step;
      jacobian.col(static_cast<Eigen::Index>(p)) = (deviations_ - deviations_at(moved)) / step;
      moved[p] = at_[p];
    }
    return jacobian;
  }

  void weigh() {
    std::vector<double> sizes(static_cast<std::size_t>(deviations_.size()));
    Eigen::Map<Vector>(sizes.data(), deviations_.size()) = deviations_;
    misfit_k_ = std::max(mad_sigma(sizes), k_least_misfit_k);
    const double looks = std::min(effective_count(sizes), running_s() / k_least_correlation_s);
    const double each = looks / static_cast<double>(sizes.size()) / (misfit_k_ * misfit_k_);
    weights_.resize(deviations_.size());
    for (Eigen::Index k = 0; k < deviations_.size(); ++k) {
      const double z = deviations_(k) / misfit_k_;
      weights_(k) = each * (k_t_freedom + 1.0) / (k_t_freedom + z * z);
    }
  }

  [[nodiscard]] double running_s() const {
    double seconds = 0.0;
    for (const std::size_t i : scored_) seconds += drive_.length_s[i];
    return seconds;
  }

  [[nodiscard]] double cost(const Vector& deviations, const std::vector<double>& at) const {
    double cost = 0.5 * deviations.cwiseAbs2().dot(weights_);
    for (std::size_t p = 0; p < at.size(); ++p) {
      const double z = (at[p] - prior_.mean[p]) / prior_.scatter[p];
      cost += 0.5 * z * z;
    }
    return cost;
  }

  /// One step downhill; false when there is none to speak of.
  bool improve() {
    const Matrix jacobian = slopes();
    Matrix hessian = jacobian.transpose() * weights_.asDiagonal() * jacobian;
    Vector gradient = jacobian.transpose() * weights_.asDiagonal() * deviations_;
    for (std::size_t p = 0; p < at_.size(); ++p) {
      const auto i = static_cast<Eigen::Index>(p);
      const double precision = 1.0 / (prior_.scatter[p] * prior_.scatter[p]);
      hessian(i, i) += precision;
      gradient(i) -= precision * (at_[p] - prior_.mean[p]);
    }
    const double before = cost(deviations_, at_);
    for (; damping_ < 1e6; damping_ *= 8.0) {
      Matrix damped = hessian;
      damped.diagonal() *= 1.0 + damping_;
      const Vector move = damped.ldlt().solve(gradient);
      std::vector<double> next = at_;
      for (std::size_t p = 0; p < next.size(); ++p) {
        const double most = 2.0 * prior_.scatter[p]; // a linear step is believed no further
        next[p] += std::clamp(move(static_cast<Eigen::Index>(p)), -most, most);
      }
      const Vector deviations = deviations_at(next);
      const double after = cost(deviations, next);
      if (!(after < before)) continue;
      at_ = next;
      deviations_ = deviations;
      damping_ = std::max(damping_ / 8.0, 1e-4);
      return before - after > 1e-3;
    }
    damping_ = 1e-2;
    return false;
  }

  const CircuitDrive& drive_;
  CircuitPrior prior_;
  bool knows_weather_;
  std::vector<double> at_;
  std::vector<std::size_t> scored_;
  Vector deviations_;
  Vector weights_;
  double misfit_k_ = 0.0;
  double damping_ = 1e-2;
};

bool enough(const CircuitDrive& drive) {
  double seconds = 0.0;
  for (std::size_t i = 0; i < drive.size(); ++i)
    seconds += drive.scored[i] != 0 ? drive.length_s[i] : 0.0;
  return seconds >= k_least_running_s;
}

} // namespace

std::optional<CircuitEvidence> fit_drive(const Trip& trip, const CircuitFitOptions& options) {
  const CircuitDrive drive = circuit_drive(trip.blocks, options.at_most_s);
  if (!enough(drive)) return std::nullopt;
  DriveFit fit(drive, trip.level_c);
  fit.run(options);
  return fit.evidence();
}

} // namespace coolband
