// SPDX-License-Identifier: Apache-2.0
// One account of a trip: the vehicle as it is known, moved as little as need be, with or without
// one thing wrong.
#pragma once

#include "circuit/by_turns.hpp"
#include "circuit/circuit_drive.hpp"
#include "circuit/circuit_prior.hpp"
#include "diagnose/candidates.hpp"
#include "diagnose/circuit_knowledge.hpp"
#include "diagnose/circuit_trip.hpp"
#include "diagnose/cooling_reserve.hpp"

#include <optional>
#include <span>
#include <vector>

#include <Eigen/Dense>

namespace coolband {

/// The parameters that a trip may move; the others stay as they are known. In standard deviations,
/// jointly; the last dimension is the wind, which no log tells: it blows through the radiator with
/// or against the road's.
inline constexpr CircuitParameter k_open_parameters[] = {
    CircuitParameter::idle_heat,  CircuitParameter::load_heat, CircuitParameter::loss,
    CircuitParameter::wind_loss,  CircuitParameter::heater,    CircuitParameter::opens,
    CircuitParameter::span,       CircuitParameter::flow,      CircuitParameter::still_air,
    CircuitParameter::ram_air,    CircuitParameter::fan,       CircuitParameter::fan_after,
    CircuitParameter::hysteresis, CircuitParameter::wax_lag};
inline constexpr auto k_vehicle_dimensions =
    static_cast<Eigen::Index>(std::size(k_open_parameters)) + 1;

/// A vehicle that differs by `z` standard deviations from what is known.
class Vehicles {
 public:
  explicit Vehicles(const CircuitKnowledge& knowledge);
  [[nodiscard]] CircuitValues at(const Eigen::VectorXd& z) const;

 private:
  PerParameter<double> mean_;
  Eigen::MatrixXd factor_; ///< columns: one standard deviation each
};

/// The vehicle with each of the three that are strained most as it is known: a fault that accounts
/// for the strain is to be looked for from there.
std::vector<Eigen::VectorXd> relieved(const Eigen::VectorXd& z);

/// CircuitInputs::air with the wind of `z` in it.
std::vector<double> air_in_wind(const CircuitInputs& inputs, const Eigen::VectorXd& z);

inline constexpr double k_first_damping = 1e-2;

struct Account {
  const Candidate* candidate = nullptr; ///< none: the sound vehicle
  Eigen::VectorXd z = Eigen::VectorXd::Zero(k_vehicle_dimensions);
  double severity = 0.0;
  Eigen::VectorXd deviations;       ///< K, reading less prediction, of the scored blocks
  double damping = k_first_damping; ///< of the next step (Levenberg and Marquardt)
  Eigen::MatrixXd slope;            ///< d(prediction)/d(z, severity), as far as it is known
  int slope_age = -1;               ///< steps since it was worked out anew; -1: never
  double cost = 0.0;                ///< nats, what was made least
  double bound = 0.0;               ///< what prior and Occam's factor take off the log-likelihood

  [[nodiscard]] ReducedFault fault() const {
    return candidate != nullptr ? candidate->fault(severity) : ReducedFault{};
  }
};

/// Fits accounts to one trip. Trip and knowledge must outlive it.
class TripFit {
 public:
  TripFit(const CircuitTrip& trip, const CircuitKnowledge& knowledge);

  [[nodiscard]] Account fit_sound(const Eigen::VectorXd& from) const;
  /// From the nearest of these vehicles. An account that still costs more than `hopeless` after a
  /// few steps is not followed to its end.
  [[nodiscard]] Account fit(const Candidate& candidate, std::span<const Eigen::VectorXd> vehicles,
                            double hopeless) const;
  /// The same candidate from the nearest of vehicles about the one that another account leaves,
  /// whose slopes will do to begin with; nothing where that is no better.
  [[nodiscard]] std::optional<Account> fit_better(const Account& than, const Account& beside,
                                                  std::span<const Eigen::VectorXd> vehicles,
                                                  double hopeless) const;

  /// K, reading less prediction, of the scored blocks.
  [[nodiscard]] Eigen::VectorXd deviations_by(const ReducedFault& fault, const Eigen::VectorXd& z,
                                              const Observer& observer = {}) const;
  /// Up to a constant.
  [[nodiscard]] double log_likelihood_of(const Eigen::VectorXd& deviations,
                                         const Weighing& weighing) const;
  [[nodiscard]] ByTurns by_turns(const Eigen::VectorXd& z, std::span<const Mode> modes,
                                 const Observer& observer, const Weighing& weighing,
                                 double tracking_look_s) const;
  [[nodiscard]] double misfit_k() const { return misfit_k_; }

 private:
  struct Trial {
    ReducedFault fault;
    Eigen::VectorXd z;
  };
  /// With its severity moved by a small step.
  [[nodiscard]] static Trial milder_or_worse(const Account& account);
  /// A column a trial.
  [[nodiscard]] Eigen::MatrixXd deviations_by(std::span<const Trial> trials) const;
  [[nodiscard]] Eigen::VectorXd deviations_of(const std::vector<double>& predicted) const;

  [[nodiscard]] Account nearest(const Candidate& candidate,
                                std::span<const Eigen::VectorXd> vehicles) const;
  [[nodiscard]] Account fitted(Account account, double hopeless) const;
  void descend(Account& account, double hopeless) const;
  /// What prior knowledge of vehicle, severity and cold start says against it, nats.
  [[nodiscard]] double prior_cost(const Account& account) const;
  [[nodiscard]] double cost(const Account& account) const;
  [[nodiscard]] Eigen::MatrixXd slopes(const Account& account) const;
  [[nodiscard]] Eigen::VectorXd severity_slope(const Account& account) const;
  [[nodiscard]] Eigen::VectorXd weights(const Account& account) const;
  /// How far the vehicle fails each demand, in standard deviations.
  [[nodiscard]] Eigen::VectorXd shortfalls(const Eigen::VectorXd& z) const;
  /// d(shortfalls)/d(z, severity); `here`: the shortfalls of the account.
  [[nodiscard]] Eigen::MatrixXd shortfall_slopes(const Account& account,
                                                 const Eigen::VectorXd& here) const;
  void renew_slope(Account& account) const;
  bool improve(Account& account) const;
  bool step(Account& account) const;
  void settle(Account& account) const;
  [[nodiscard]] double against_cold_start(const ReducedFault& fault) const;

  const CircuitInputs& inputs_;
  Vehicles vehicles_;
  double misfit_k_;
  std::vector<double> length_s_; ///< of the scored blocks
  std::vector<Demand> demands_;
};

} // namespace coolband
