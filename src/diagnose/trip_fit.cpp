// SPDX-License-Identifier: Apache-2.0
// Levenberg and Marquardt from what is known; the readings as Student's t, and as few looks as the
// observer's memory leaves independent; Laplace's approximation for what the fit leaves open.
#include "diagnose/trip_fit.hpp"

#include "circuit/student_t.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace coolband {

namespace {

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;

constexpr Eigen::Index k_parameters = k_vehicle_dimensions - 1;
/// Of the wind over 25 m/s: 3 m/s, from a light breeze to a fresh one (judgement).
constexpr double k_wind_scatter = 3.0 / 25.0;
/// The observer forgets over 300 s, so deviations closer than this say the same thing, s.
constexpr double k_look_s = 200.0;
constexpr double k_first_severities[] = {0.1, 0.35, 0.65, 0.95};
/// A severity is drawn about the middle of its range (judgement).
constexpr double k_severity_mean = 0.45;
constexpr double k_severity_scatter = 0.35;
constexpr int k_steps = 12;
constexpr int k_steps_granted = 3; ///< to an account that looks hopeless
/// A second search that is still behind the first by this is not followed to its end, nats.
constexpr double k_no_better = 4.0;
constexpr int k_relieved = 3;
constexpr double k_least_gain = 0.1; ///< nats
/// Slopes are carried on for so many steps (Broyden 1965, from memory) before they are worked out
/// anew.
constexpr int k_oldest_slope = 3;
constexpr double k_difference = 0.2;   ///< in standard deviations
constexpr double k_longest_move = 2.0; ///< likewise
/// An engine that stood for a night is as warm as the air, within this (K); what speaks against a
/// sensor by it is bounded, nats: an engine may have stood for less, and seldom comes out of a
/// garage that is colder than the air.
constexpr double k_cold_soak_k = 3.0;
constexpr double k_warmer_most = 3.0;
constexpr double k_colder_most = 5.0;

std::size_t index_of(CircuitParameter parameter) { return static_cast<std::size_t>(parameter); }

/// Columns: one standard deviation of the open parameters each, jointly.
Matrix factor_of(const CircuitKnowledge& knowledge) {
  Matrix covariance(k_parameters, k_parameters);
  for (Eigen::Index i = 0; i < k_parameters; ++i) {
    for (Eigen::Index j = 0; j < k_parameters; ++j)
      covariance(i, j) =
          knowledge.covariance[index_of(k_open_parameters[i])][index_of(k_open_parameters[j])];
  }
  return covariance.llt().matrixL();
}

/// The vehicle's, and the severity of what is wrong with it.
Eigen::Index columns_of(const Account& account) {
  return k_vehicle_dimensions + (account.candidate != nullptr ? 1 : 0);
}

Vector precision(const Account& account) {
  Vector precision = Vector::Ones(columns_of(account));
  if (account.candidate != nullptr)
    precision(k_vehicle_dimensions) = 1.0 / (k_severity_scatter * k_severity_scatter);
  return precision;
}

/// The least change that makes the slopes agree with what a step did to the predictions.
void carry_on_slope(Account& moved, const Account& before) {
  Vector step(moved.slope.cols());
  step.head(k_vehicle_dimensions) = moved.z - before.z;
  if (moved.candidate != nullptr) step(k_vehicle_dimensions) = moved.severity - before.severity;
  const double length = step.squaredNorm();
  if (length <= 0.0) return;
  const Vector surprise = (before.deviations - moved.deviations) - moved.slope * step;
  moved.slope += surprise * step.transpose() / length;
  ++moved.slope_age;
}

double severity_step(const Account& account) { return account.severity > 0.5 ? -0.05 : 0.05; }

/// By damped normal equations. A severity at its end stays there, and the vehicle goes where it
/// goes best with it: as if it could move on, the step would be long and wrong.
void move_within_bounds(Account& account, const Matrix& curved, const Vector& gradient) {
  Vector move = curved.ldlt().solve(gradient);
  if (account.candidate != nullptr) {
    const double wanted = account.severity + move(k_vehicle_dimensions);
    const double severity = std::clamp(wanted, 0.0, 1.0);
    if (severity != wanted) {
      const double left = severity - account.severity;
      const Vector of_vehicle = gradient.head(k_vehicle_dimensions) -
                                left * curved.col(k_vehicle_dimensions).head(k_vehicle_dimensions);
      move.head(k_vehicle_dimensions) =
          curved.topLeftCorner(k_vehicle_dimensions, k_vehicle_dimensions).ldlt().solve(of_vehicle);
    }
    account.severity = severity;
  }
  account.z +=
      Vector(move.head(k_vehicle_dimensions)).cwiseMax(-k_longest_move).cwiseMin(k_longest_move);
}

} // namespace

Vehicles::Vehicles(const CircuitKnowledge& knowledge)
    : mean_(knowledge.mean), factor_(factor_of(knowledge)) {}

CircuitValues Vehicles::at(const Vector& z) const {
  const Vector moved = factor_ * z.head(k_parameters);
  PerParameter<double> fitted = mean_;
  for (Eigen::Index i = 0; i < k_parameters; ++i)
    fitted[index_of(k_open_parameters[i])] += moved(i);
  return own_units(fitted);
}

std::vector<Vector> relieved(const Vector& z) {
  std::vector<Vector> vehicles;
  Vector strain = z.cwiseAbs();
  for (int k = 0; k < k_relieved; ++k) {
    Eigen::Index most = 0;
    strain.maxCoeff(&most);
    strain(most) = 0.0;
    vehicles.push_back(z);
    vehicles.back()(most) = 0.0;
  }
  return vehicles;
}

std::vector<double> air_in_wind(const CircuitInputs& inputs, const Vector& z) {
  const double wind = k_wind_scatter * z(k_vehicle_dimensions - 1);
  if (wind == 0.0) return inputs.air;
  std::vector<double> air(inputs.size());
  for (std::size_t i = 0; i < air.size(); ++i)
    air[i] = air_of_wind(std::max(inputs.wind[i] + wind, 0.0));
  return air;
}

TripFit::Trial TripFit::milder_or_worse(const Account& account) {
  return {account.candidate->fault(account.severity + severity_step(account)), account.z};
}

TripFit::TripFit(const CircuitTrip& trip, const CircuitKnowledge& knowledge)
    : inputs_(trip.inputs), vehicles_(knowledge), misfit_k_(knowledge.misfit_k),
      demands_(demands_of(trip.inputs)) {
  for (const std::size_t i : inputs_.scored) length_s_.push_back(inputs_.length_s[i]);
}

Account TripFit::fit_sound(const Vector& from) const {
  Account account;
  account.z = from;
  return fitted(std::move(account), std::numeric_limits<double>::infinity());
}

Account TripFit::fit(const Candidate& candidate, std::span<const Vector> vehicles,
                     double hopeless) const {
  return fitted(nearest(candidate, vehicles), hopeless);
}

std::optional<Account> TripFit::fit_better(const Account& than, const Account& beside,
                                           std::span<const Vector> vehicles,
                                           double hopeless) const {
  Account account = nearest(*than.candidate, vehicles);
  account.slope.resize(account.deviations.size(), k_vehicle_dimensions + 1);
  account.slope.leftCols(k_vehicle_dimensions) = beside.slope.leftCols(k_vehicle_dimensions);
  account.slope.col(k_vehicle_dimensions) = severity_slope(account);
  account.slope_age = 1;
  descend(account, std::min(hopeless, than.cost + k_no_better));
  if (account.cost >= than.cost) return std::nullopt;
  settle(account);
  return account;
}

Account TripFit::nearest(const Candidate& candidate, std::span<const Vector> vehicles) const {
  std::vector<Account> accounts;
  std::vector<Trial> trials;
  for (const Vector& z : vehicles) {
    for (const double severity : k_first_severities) {
      Account account;
      account.candidate = &candidate;
      account.z = z;
      account.severity = severity;
      trials.push_back({account.fault(), z});
      accounts.push_back(std::move(account));
    }
  }
  const Matrix deviations = deviations_by(trials);
  std::size_t best = 0;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < accounts.size(); ++k) {
    accounts[k].deviations = deviations.col(static_cast<Eigen::Index>(k));
    const double now = cost(accounts[k]);
    if (now >= least) continue;
    least = now;
    best = k;
  }
  return std::move(accounts[best]);
}

/// K, reading less prediction, of the scored blocks.
Vector TripFit::deviations_by(const ReducedFault& fault, const Vector& z,
                              const Observer& observer) const {
  const std::vector<double> air = air_in_wind(inputs_, z);
  const ReducedCase one{vehicles_.at(z), &fault, air};
  return deviations_of(predict_readings(inputs_, {&one, 1}, observer).front());
}

Matrix TripFit::deviations_by(std::span<const Trial> trials) const {
  std::vector<std::vector<double>> air;
  air.reserve(trials.size()); // cases look into it
  std::vector<ReducedCase> cases;
  double wind = 0.0;
  for (const Trial& trial : trials) {
    if (air.empty() || trial.z(k_vehicle_dimensions - 1) != wind) {
      wind = trial.z(k_vehicle_dimensions - 1);
      air.push_back(air_in_wind(inputs_, trial.z));
    }
    cases.push_back({vehicles_.at(trial.z), &trial.fault, air.back()});
  }
  const auto predicted = predict_readings(inputs_, cases);
  Matrix deviations(static_cast<Eigen::Index>(inputs_.scored.size()),
                    static_cast<Eigen::Index>(trials.size()));
  for (std::size_t k = 0; k < trials.size(); ++k)
    deviations.col(static_cast<Eigen::Index>(k)) = deviations_of(predicted[k]);
  return deviations;
}

Vector TripFit::deviations_of(const std::vector<double>& predicted) const {
  Vector deviations(static_cast<Eigen::Index>(inputs_.scored.size()));
  Eigen::Index k = 0;
  for (const std::size_t i : inputs_.scored) {
    const double deviation = inputs_.coolant_c[i] - predicted[i];
    deviations(k++) = std::isfinite(deviation) ? deviation : 0.0;
  }
  return deviations;
}

/// Up to a constant.
double TripFit::log_likelihood_of(const Vector& deviations, const Weighing& weighing) const {
  double sum = 0.0;
  for (std::size_t k = 0; k < length_s_.size(); ++k)
    sum += log_likelihood(deviations(static_cast<Eigen::Index>(k)), length_s_[k], weighing);
  return sum;
}

ByTurns TripFit::by_turns(const Vector& z, std::span<const Mode> modes, const Observer& observer,
                          const Weighing& weighing, double tracking_look_s) const {
  CircuitInputs windy = inputs_;
  windy.air = air_in_wind(inputs_, z);
  return run_by_turns(windy, vehicles_.at(z), modes, observer, weighing, tracking_look_s);
}

double TripFit::prior_cost(const Account& account) const {
  const double vehicle = 0.5 * (account.z.squaredNorm() + shortfalls(account.z).squaredNorm());
  if (account.candidate == nullptr) return vehicle;
  const double off = (account.severity - k_severity_mean) / k_severity_scatter;
  return vehicle + 0.5 * off * off + against_cold_start(account.fault());
}

double TripFit::cost(const Account& account) const {
  return prior_cost(account) - log_likelihood_of(account.deviations, {misfit_k_, k_look_s});
}

/// d(prediction)/d(z, severity)
Matrix TripFit::slopes(const Account& account) const {
  std::vector<Trial> trials;
  for (Eigen::Index p = 0; p < k_vehicle_dimensions; ++p) {
    trials.push_back({account.fault(), account.z});
    trials.back().z(p) += k_difference;
  }
  if (account.candidate != nullptr) trials.push_back(milder_or_worse(account));
  const Matrix there = deviations_by(trials);
  Matrix slopes = account.deviations.replicate(1, there.cols()) - there;
  slopes.leftCols(k_vehicle_dimensions) /= k_difference;
  if (account.candidate != nullptr) slopes.col(k_vehicle_dimensions) /= severity_step(account);
  return slopes;
}

Vector TripFit::severity_slope(const Account& account) const {
  const Trial trial = milder_or_worse(account);
  return (account.deviations - deviations_by(trial.fault, trial.z)) / severity_step(account);
}

Vector TripFit::shortfalls(const Vector& z) const {
  Vector shortfalls(static_cast<Eigen::Index>(demands_.size()));
  const CircuitValues vehicle = vehicles_.at(z);
  for (std::size_t k = 0; k < demands_.size(); ++k)
    shortfalls(static_cast<Eigen::Index>(k)) = shortfall(vehicle, demands_[k]);
  return shortfalls;
}

Matrix TripFit::shortfall_slopes(const Account& account, const Vector& here) const {
  Matrix slopes = Matrix::Zero(here.size(), columns_of(account));
  for (Eigen::Index p = 0; p < k_vehicle_dimensions; ++p) {
    Vector moved = account.z;
    moved(p) += k_difference;
    slopes.col(p) = (shortfalls(moved) - here) / k_difference;
  }
  return slopes;
}

Vector TripFit::weights(const Account& account) const {
  Vector weights(account.deviations.size());
  for (Eigen::Index k = 0; k < weights.size(); ++k) {
    const double looks = length_s_[static_cast<std::size_t>(k)] / k_look_s;
    weights(k) = looks * t_weight(account.deviations(k) / misfit_k_) / (misfit_k_ * misfit_k_);
  }
  return weights;
}

void TripFit::renew_slope(Account& account) const {
  if (account.slope_age == 0) return;
  account.slope = slopes(account);
  account.slope_age = 0;
}

bool TripFit::improve(Account& account) const {
  if (account.slope_age < 0 || account.slope_age >= k_oldest_slope) renew_slope(account);
  if (step(account)) return true;
  if (account.slope_age == 0) return false;
  renew_slope(account);
  account.damping = k_first_damping;
  return step(account);
}

/// One step by the slopes as they are known; false where none gains enough.
bool TripFit::step(Account& account) const {
  const Matrix& slope = account.slope;
  const Vector weight = weights(account);
  Matrix curved = slope.transpose() * weight.asDiagonal() * slope;
  const Vector known = precision(account);
  curved.diagonal() += known;
  Vector gradient = slope.transpose() * weight.cwiseProduct(account.deviations);
  const Vector short_of = shortfalls(account.z);
  const Matrix demanding = shortfall_slopes(account, short_of);
  curved += demanding.transpose() * demanding;
  gradient -= demanding.transpose() * short_of;
  gradient.head(k_vehicle_dimensions) -= account.z;
  if (account.candidate != nullptr)
    gradient(k_vehicle_dimensions) -=
        known(k_vehicle_dimensions) * (account.severity - k_severity_mean);
  const double before = cost(account);
  for (; account.damping < 1e4; account.damping *= 8.0) {
    Matrix damped = curved;
    damped.diagonal() *= 1.0 + account.damping;
    Account moved = account;
    move_within_bounds(moved, damped, gradient);
    moved.deviations = deviations_by(moved.fault(), moved.z);
    const double after = cost(moved);
    if (!(after < before)) continue;
    carry_on_slope(moved, account);
    account = std::move(moved);
    account.damping = std::max(account.damping / 8.0, 1e-3);
    return before - after > k_least_gain;
  }
  return false;
}

void TripFit::settle(Account& account) const {
  renew_slope(account);
  const Matrix& slope = account.slope;
  Matrix curved = slope.transpose() * weights(account).asDiagonal() * slope;
  const Matrix demanding = shortfall_slopes(account, shortfalls(account.z));
  curved += demanding.transpose() * demanding;
  const Vector known = precision(account);
  // Occam's factor: how much narrower the trip leaves what was open before it.
  const Vector scale = known.cwiseSqrt().cwiseInverse();
  curved = scale.asDiagonal() * curved * scale.asDiagonal();
  curved.diagonal().array() += 1.0;
  const Vector pivots = curved.ldlt().vectorD();
  account.bound = prior_cost(account) + 0.5 * pivots.array().log().sum();
}

Account TripFit::fitted(Account account, double hopeless) const {
  if (account.candidate == nullptr) account.deviations = deviations_by({}, account.z);
  descend(account, hopeless);
  settle(account);
  return account;
}

void TripFit::descend(Account& account, double hopeless) const {
  for (int step = 0; step < k_steps; ++step) {
    if (!improve(account)) break;
    if (step >= k_steps_granted && cost(account) > hopeless) break;
  }
  account.cost = cost(account);
}

/// What a start from cold says against a sensor that is wrong when cold, nats; in full, since it
/// rests on no law of the circuit.
double TripFit::against_cold_start(const ReducedFault& fault) const {
  if (!inputs_.cold_start) return 0.0;
  const auto off = [](double difference_k) {
    return std::min(0.5 * difference_k * difference_k / (k_cold_soak_k * k_cold_soak_k),
                    difference_k < 0.0 ? k_colder_most : k_warmer_most);
  };
  const double air_c = inputs_.cold_start->air_c;
  const double shown_c = inputs_.cold_start->shown_c;
  return (off(fault.true_c(shown_c) - air_c) - off(shown_c - air_c)) / k_circuit_weight;
}

} // namespace coolband
