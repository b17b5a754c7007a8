// SPDX-License-Identifier: Apache-2.0
// Damped Gauss-Newton with what is usual as prior knowledge; the readings are weighted as Student's
// t, and count as often as they are independent.
#include "circuit/fit_circuit.hpp"

#include "circuit/circuit_prior.hpp"
#include "circuit/reduced_circuit.hpp"
#include "circuit/student_t.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "core/portable_math.hpp"
#include "numeric/autocorrelation.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include <Eigen/Dense>

namespace coolband {

namespace {

constexpr auto k_size = static_cast<Eigen::Index>(k_circuit_parameters);
using Vector = Eigen::VectorXd;
using Parameters = Eigen::Matrix<double, k_size, 1>;
using Square = Eigen::Matrix<double, k_size, k_size>;
using Slopes = Eigen::Matrix<double, Eigen::Dynamic, k_size>;

/// No drive is predicted better than this, K: half the error of a 1 °C step.
constexpr double k_least_misfit_k = 0.15;
/// Independent looks are no closer than this, s: the engine's heat capacity sees to that.
constexpr double k_least_correlation_s = 60.0;
/// Finite differences, as a share of the prior scatter.
constexpr double k_difference = 0.05;
/// One step goes no further than this, in prior scatters: a linear step is not believed beyond.
constexpr double k_longest_move = 2.0;
/// A round ends when its steps gain less than this in log-likelihood.
constexpr double k_least_gain = 1e-3;
/// A real valve follows none of our laws to the letter: two simulators that share no code with the
/// reduced circuit differ from it by so much in the start of opening, K (tests/bench/opening.cpp).
constexpr double k_opening_law_error_k = 0.6;
constexpr double k_95_pct = 1.959963984540054;

/// A valve with play that rests cannot be moved a little to see whether more play were better, so
/// the way down may end far from the right one: it is begun from both, K (judgement).
constexpr double k_plays_k[] = {1.5, 5.0};

/// Where to begin with the start of opening: regulated running lies in the lower half of the span
/// (domain practice), and the engine is regulated for the hotter half of normal driving.
constexpr double k_level_above_opening_k = 4.0;
constexpr double k_coldest_regulation_c = 70.0;
constexpr double k_hottest_regulation_c = 110.0;

class Fit {
 public:
  Fit(const CircuitInputs& inputs, double play_k)
      : inputs_(inputs), mean_(usual_prior().mean.data()), scatter_(usual_prior().scatter.data()),
        at_(mean_) {
    begin_at_level();
    at_(static_cast<Eigen::Index>(CircuitParameter::hysteresis)) = portable_log(play_k);
    deviations_ = deviations_at(at_);
  }

  void run(const CircuitFitOptions& options) {
    for (int round = 0; round < options.rounds; ++round) {
      weigh();
      damping_ = 1e-2;
      for (int step = 0; step < options.steps; ++step) {
        if (!improve()) break;
      }
    }
    weigh();
  }

  /// Nats against this fit, by a misfit that all fits share, K.
  [[nodiscard]] double cost_at(double misfit_k) const {
    double sum = 0.5 * (at_ - mean_).cwiseAbs2().dot(precision());
    Eigen::Index k = 0;
    for (const std::size_t i : inputs_.scored) {
      const double looks = inputs_.length_s[i] / k_least_correlation_s;
      sum -= looks * t_log_likelihood(deviations_(k++) / misfit_k);
    }
    return sum;
  }
  [[nodiscard]] double misfit_k() const { return median(misfits_k_); }

  [[nodiscard]] FittedCircuit result() const {
    FittedCircuit fitted;
    const Square covariance = joint_covariance();
    const Parameters error = covariance.diagonal().cwiseSqrt();
    fitted.joint = lower_triangle(covariance.llt().matrixL());
    for (Eigen::Index i = 0; i < k_size; ++i)
      fitted.values[static_cast<std::size_t>(i)] = value_of(i, error(i));
    fitted.misfit_k = median(misfits_k_);
    return fitted;
  }

 private:
  void begin_at_level() {
    std::vector<double> readings;
    for (const std::size_t i : inputs_.scored) readings.push_back(inputs_.coolant_c[i]);
    const double level_c = quantile(readings, 0.75);
    if (level_c < k_coldest_regulation_c || level_c > k_hottest_regulation_c) return;
    at_(static_cast<Eigen::Index>(CircuitParameter::opens)) = level_c - k_level_above_opening_k;
  }

  [[nodiscard]] Vector deviations_at(const Parameters& at) const {
    return deviations_of(predict_readings(inputs_, own_units({at.data(), k_circuit_parameters})));
  }

  [[nodiscard]] Vector deviations_of(const std::vector<double>& predicted) const {
    Vector deviations(static_cast<Eigen::Index>(inputs_.scored.size()));
    Eigen::Index k = 0;
    for (const std::size_t i : inputs_.scored) {
      const double deviation = inputs_.coolant_c[i] - predicted[i];
      deviations(k++) = std::isnan(deviation) ? 0.0 : deviation;
    }
    return deviations;
  }

  /// d(prediction)/d(parameter), a column a parameter.
  [[nodiscard]] Slopes slopes() const {
    const ReducedFault sound;
    std::vector<ReducedCase> cases;
    for (Eigen::Index p = 0; p < k_size; ++p) {
      Parameters moved = at_;
      moved(p) += step_of(p);
      cases.push_back({own_units({moved.data(), k_circuit_parameters}), &sound, inputs_.air});
    }
    const auto predicted = predict_readings(inputs_, cases);
    Slopes slopes(deviations_.size(), k_size);
    for (Eigen::Index p = 0; p < k_size; ++p) {
      const Vector there = deviations_of(predicted[static_cast<std::size_t>(p)]);
      slopes.col(p) = (deviations_ - there) / step_of(p);
    }
    return slopes;
  }

  [[nodiscard]] double step_of(Eigen::Index p) const { return k_difference * scatter_(p); }

  /// Each drive by its own misfit and its own serial correlation.
  void weigh() {
    weights_.resize(deviations_.size());
    misfits_k_.clear();
    std::size_t from = 0;
    for (const std::size_t end : inputs_.ends) {
      if (end > from) weigh(from, end);
      from = end;
    }
  }

  void weigh(std::size_t from, std::size_t end) {
    const std::vector<double> mine(deviations_.data() + from, deviations_.data() + end);
    const double misfit_k = std::max(mad_sigma(mine), k_least_misfit_k);
    double running_s = 0.0;
    for (std::size_t k = from; k < end; ++k) running_s += inputs_.length_s[inputs_.scored[k]];
    const double looks = std::min(effective_count(mine), running_s / k_least_correlation_s);
    const double each = looks / static_cast<double>(mine.size()) / (misfit_k * misfit_k);
    for (std::size_t k = from; k < end; ++k) {
      const double z = mine[k - from] / misfit_k;
      weights_(static_cast<Eigen::Index>(k)) = each * t_weight(z);
    }
    misfits_k_.push_back(misfit_k);
  }

  [[nodiscard]] Parameters precision() const { return scatter_.cwiseAbs2().cwiseInverse(); }

  [[nodiscard]] Square hessian(const Slopes& slopes) const {
    Square hessian = slopes.transpose() * weights_.asDiagonal() * slopes;
    hessian.diagonal() += precision();
    return hessian;
  }

  [[nodiscard]] double cost(const Vector& deviations, const Parameters& at) const {
    return 0.5 * (deviations.cwiseAbs2().dot(weights_) + (at - mean_).cwiseAbs2().dot(precision()));
  }

  /// One step downhill; false when there is none to speak of.
  bool improve() {
    const Slopes slope = slopes();
    const Square curved = hessian(slope);
    const Parameters gradient = slope.transpose() * weights_.cwiseProduct(deviations_) -
                                precision().cwiseProduct(at_ - mean_);
    const double before = cost(deviations_, at_);
    for (; damping_ < 1e6; damping_ *= 8.0) {
      Square damped = curved;
      damped.diagonal() *= 1.0 + damping_;
      const Parameters most = k_longest_move * scatter_;
      const Parameters move =
          Parameters(damped.ldlt().solve(gradient)).cwiseMax(-most).cwiseMin(most);
      const Vector deviations = deviations_at(at_ + move);
      const double after = cost(deviations, at_ + move);
      if (!(after < before)) continue;
      at_ += move;
      deviations_ = deviations;
      damping_ = std::max(damping_ / 8.0, 1e-4);
      return before - after > k_least_gain;
    }
    return false;
  }

  /// Variances: the larger of what the weights say and of what the drives' disagreement says (a
  /// sandwich by drives; White 1980, Liang & Zeger 1986, from memory). Correlations: of the
  /// weights.
  [[nodiscard]] Square joint_covariance() const {
    const Slopes slope = slopes();
    const Square bread = hessian(slope).ldlt().solve(Square::Identity());
    Square meat = Square::Zero();
    double drives = 0.0;
    Eigen::Index from = 0;
    for (const std::size_t last : inputs_.ends) {
      const Eigen::Index count = static_cast<Eigen::Index>(last) - from;
      const Parameters pull =
          slope.middleRows(from, count).transpose() *
          weights_.segment(from, count).cwiseProduct(deviations_.segment(from, count));
      meat += pull * pull.transpose();
      from += count;
      drives += count > 0 ? 1.0 : 0.0;
    }
    meat *= drives > 1.0 ? drives / (drives - 1.0) : 0.0;
    meat.diagonal() += precision();
    const Square sandwich = bread * meat * bread;
    Parameters variance = bread.diagonal().cwiseMax(sandwich.diagonal());
    variance(static_cast<Eigen::Index>(CircuitParameter::opens)) +=
        k_opening_law_error_k * k_opening_law_error_k;
    const Parameters stretched = (variance.array() / bread.diagonal().array()).sqrt();
    return stretched.asDiagonal() * bread * stretched.asDiagonal();
  }

  static std::vector<double> lower_triangle(const Square& factor) {
    std::vector<double> rows;
    for (Eigen::Index i = 0; i < k_size; ++i) {
      for (Eigen::Index j = 0; j <= i; ++j) rows.push_back(factor(i, j));
    }
    return rows;
  }

  [[nodiscard]] CircuitValue value_of(Eigen::Index p, double error) const {
    const double reach = k_95_pct * error;
    std::array<Parameters, 3> ends{at_, at_, at_};
    ends[1](p) -= reach;
    ends[2](p) += reach;
    const auto own = [&](const Parameters& at) {
      return own_units({at.data(), k_circuit_parameters})[static_cast<std::size_t>(p)];
    };
    return {own(ends[0]), own(ends[1]), own(ends[2]), error < 0.5 * scatter_(p)};
  }

  const CircuitInputs& inputs_;
  Parameters mean_;
  Parameters scatter_;
  Parameters at_;
  Vector deviations_;
  Vector weights_;
  std::vector<double> misfits_k_; ///< of each drive
  double damping_ = 1e-2;
};

template <class Flag>
bool most(std::span<const CircuitDrive> drives, Flag flag) {
  const auto count = std::count_if(drives.begin(), drives.end(), flag);
  return 2 * static_cast<std::size_t>(count) > drives.size();
}

FittedCircuit likeliest(const CircuitInputs& inputs, const CircuitFitOptions& options) {
  std::vector<Fit> fits;
  double misfit_k = 0.0;
  for (const double play_k : k_plays_k) {
    fits.emplace_back(inputs, play_k).run(options);
    misfit_k = std::max(misfit_k, fits.back().misfit_k());
  }
  const auto best = std::min_element(fits.begin(), fits.end(), [&](const Fit& a, const Fit& b) {
    return a.cost_at(misfit_k) < b.cost_at(misfit_k);
  });
  return best->result();
}

} // namespace

std::string_view name_of(CircuitParameter parameter) {
  static constexpr PerParameter<std::string_view> names{
      "idle_heat",  "load_heat", "loss",       "wind_loss", "heater",   "near",      "metal",
      "opens",      "span",      "curve",      "bypass",    "flow",     "still_air", "ram_air",
      "hysteresis", "wax_lag",   "sensor_lag", "fan",       "fan_after"};
  return names[static_cast<std::size_t>(parameter)];
}

std::optional<FittedCircuit> fit_circuit(std::span<const CircuitDrive> drives,
                                         const CircuitFitOptions& options) {
  double seconds = 0.0;
  for (const CircuitDrive& drive : drives) seconds += scored_s(drive);
  if (seconds < k_least_scored_s) return std::nullopt;
  const CircuitInputs inputs = circuit_inputs(drives);
  FittedCircuit fitted = likeliest(inputs, options);
  fitted.drives = drives.size();
  fitted.hours = seconds / 3600.0;
  fitted.saw_load = most(drives, [](const auto& d) { return d.saw_load; });
  fitted.saw_speed = most(drives, [](const auto& d) { return d.saw_speed; });
  fitted.saw_ambient = most(drives, [](const auto& d) { return d.saw_ambient; });
  return fitted;
}

} // namespace coolband
