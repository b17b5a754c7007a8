// SPDX-License-Identifier: Apache-2.0
// Each candidate at work all the time, or by turns; every account is weighed by the same quick
// observer, so that they can be compared.
#include "diagnose/circuit_evidence.hpp"

#include "circuit/fit_circuit.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "core/portable_math.hpp"
#include "diagnose/candidates.hpp"
#include "diagnose/trip_fit.hpp"
#include "diagnose/turns.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <limits>
#include <optional>

namespace coolband {

namespace {

using Vector = Eigen::VectorXd;

/// Turns may be quick and need an observer that forgets as quickly, s; a prediction that is led
/// back sooner strays less.
constexpr Observer k_quick_observer{100.0};
constexpr double k_quick_misfit = 0.6;
constexpr double k_quick_look_s = 80.0;
/// To see a turn as it happens, each reading is believed more than it is in the sum, s.
constexpr double k_tracking_look_s = 20.0;
/// The usual circuit of a stranger's vehicle, or one whose load, speed or weather had to be made
/// up, is believed to this part (judgement).
constexpr double k_stranger_weight = 0.3;
/// Faults last in four of five cases, else they come and go (judgement).
constexpr double k_lasting_prior = 0.8;
/// An account so far behind the best is given up: a wider misfit makes less of the distance, but
/// not that much less, nats.
constexpr double k_hopeless = 40.0;
/// Which part it is must not hang on where a search began. Where the best fault leads the sound
/// vehicle by this (nats), each account is tried from so many other vehicles.
constexpr double k_worth_trying = 3.0;
constexpr std::size_t k_other_vehicles = 2;

double sum_of(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double value : values) sum += value;
  return sum;
}

double mean_of(const std::vector<double>& values) {
  return values.empty() ? 0.0 : sum_of(values) / static_cast<double>(values.size());
}

double log_sum(double a, double b) {
  const double most = std::max(a, b);
  return most + portable_log(portable_exp(a - most) + portable_exp(b - most));
}

/// Half way between a robust and a plain measure: short large misfits count, but do not rule.
double misfit_of(const Vector& deviations) {
  const double plain = std::sqrt(deviations.squaredNorm() / static_cast<double>(deviations.size()));
  const std::vector<double> each(deviations.data(), deviations.data() + deviations.size());
  return std::sqrt(plain * std::max(mad_sigma(each), 0.25 * plain));
}

struct Score {
  double log_evidence = 0.0; ///< beyond that of the sound vehicle
  double misfit_k = 0.0;
  double active_share = 1.0;
  std::string what;
};

/// The accounts of one candidate: at work all the time, or in spells.
struct Weighed {
  Condition condition = Condition::normal;
  bool regulates = false;
  bool passes_shut = false;
  double weight = 1.0;
  std::optional<Account> lasting;
  std::vector<Turns> turns; ///< any of them, equally probable
};

class Comparison {
 public:
  Comparison(const TripFit& fit, bool learned, bool reading_steps)
      : fit_(fit), sound_(fit.fit_sound(Vector::Zero(k_vehicle_dimensions))) {
    double best_cost = sound_.cost;
    std::vector<Vector> vehicles = relieved(sound_.z);
    vehicles.push_back(sound_.z);
    vehicles.push_back(Vector::Zero(k_vehicle_dimensions));
    for (const Candidate& candidate : candidates()) {
      // Against a circuit that is not this vehicle's own a slow sensor would excuse any misfit.
      if (!learned && candidate.for_known_vehicles) continue;
      Account account = fit_.fit(candidate, vehicles, best_cost + k_hopeless);
      best_cost = std::min(best_cost, account.cost);
      const bool would_step = candidate.condition == Condition::sensor_fault;
      weighed_.push_back(
          {candidate.condition, candidate.regulates, candidate.passes_shut(), candidate.weight,
           std::move(account),
           would_step && !reading_steps ? std::vector<Turns>{} : spells_of(candidate)});
    }
    try_sound_elsewhere();
    try_faults_elsewhere();
    try_sound_elsewhere();
    sound_quick_ = quick_deviations(sound_);
    sound_misfit_k_ = misfit_of(sound_quick_) / k_quick_misfit;
    if (!learned) return; // free turns would only soak up what the usual circuit gets wrong
    weighed_.push_back(
        {Condition::thermostat_sticking, false, false, 1.0, std::nullopt, {sticking_valve()}});
    weighed_.push_back(
        {Condition::air_or_low_coolant, false, false, 1.0, std::nullopt, {slugs_of_gas()}});
  }

  /// Nobody knows beforehand how well the right account fits: as well as the best one does.
  [[nodiscard]] CircuitEvidence result() const {
    auto scores = scores_at(fit_.misfit_k());
    double misfit_k = sound_misfit_k_;
    for (const Score& score : scores) misfit_k = std::min(misfit_k, score.misfit_k);
    if (misfit_k > 1.1 * fit_.misfit_k()) scores = scores_at(misfit_k);
    return evidence_of(scores);
  }

 private:
  /// The vehicle as the best fault leaves it may be nearer to a sound account than what was known:
  /// one that is missed would be a false alarm.
  void try_sound_elsewhere() {
    Account again = fit_.fit_sound(leading_accounts().front()->z);
    if (again.cost < sound_.cost) sound_ = std::move(again);
  }

  /// From the vehicles as the leading faults leave them, or as the sound account does: where it
  /// leads by much it has found one that they have not seen.
  void try_faults_elsewhere() {
    const auto leading = leading_accounts();
    const double best_cost = std::min(sound_.cost, leading.front()->cost);
    const double lead = leading.front()->cost - sound_.cost;
    if (std::abs(lead) < k_worth_trying) return;
    const auto others = lead > 0.0 ? std::vector<Account>{sound_} : foremost(leading);
    for (const Account& other : others) {
      for (Weighed& one : weighed_) {
        Account& account = *one.lasting;
        if (account.cost > best_cost + k_hopeless) continue;
        for (const auto& vehicles : {std::vector<Vector>{other.z}, relieved(other.z)}) {
          auto better = fit_.fit_better(account, other, vehicles, best_cost + k_hopeless);
          if (better) account = std::move(*better);
        }
      }
    }
  }

  /// The first few of the leading accounts, and none that is hopelessly behind.
  [[nodiscard]] static std::vector<Account> foremost(const std::vector<const Account*>& leading) {
    std::vector<Account> foremost;
    for (const Account* account : leading) {
      if (foremost.size() == k_other_vehicles) break;
      if (account->cost > leading.front()->cost + k_hopeless) break;
      foremost.push_back(*account);
    }
    return foremost;
  }

  /// The best lasting account of each cause, the best of all first.
  [[nodiscard]] std::vector<const Account*> leading_accounts() const {
    std::array<const Account*, k_cause_count> best{};
    for (const Weighed& one : weighed_) {
      const Account*& of_cause = best[static_cast<std::size_t>(one.condition)];
      if (of_cause == nullptr || one.lasting->cost < of_cause->cost) of_cause = &*one.lasting;
    }
    std::vector<const Account*> leading;
    std::copy_if(best.begin(), best.end(), std::back_inserter(leading),
                 [](const Account* account) { return account != nullptr; });
    std::stable_sort(leading.begin(), leading.end(),
                     [](const Account* a, const Account* b) { return a->cost < b->cost; });
    return leading;
  }

  [[nodiscard]] std::vector<Score> scores_at(double misfit_k) const {
    std::vector<Score> scores;
    for (const Weighed& one : weighed_) scores.push_back(score(one, misfit_k));
    return scores;
  }

  [[nodiscard]] CircuitEvidence evidence_of(const std::vector<Score>& scores) const {
    CircuitEvidence evidence;
    std::array<double, k_cause_count> members{};
    std::array<double, k_cause_count> sums{};
    sums.fill(-std::numeric_limits<double>::infinity());
    evidence.hypotheses.push_back(
        {Condition::normal, "nothing is wrong", sound_misfit_k_, 0.0, 0.0});
    for (std::size_t i = 0; i < scores.size(); ++i) {
      const Score& score = scores[i];
      const auto c = static_cast<std::size_t>(weighed_[i].condition);
      sums[c] = log_sum(sums[c], portable_log(weighed_[i].weight) + score.log_evidence);
      members[c] += weighed_[i].weight;
      evidence.hypotheses.push_back({weighed_[i].condition, score.what, score.misfit_k,
                                     score.log_evidence, score.active_share, weighed_[i].regulates,
                                     weighed_[i].passes_shut});
    }
    for (std::size_t c = 0; c < k_cause_count; ++c) {
      if (members[c] > 0.0) evidence.log_evidence[c] = sums[c] - portable_log(members[c]);
    }
    // As often as not a sensor is wrong, or stands in gas, in ways that the circuit takes no notice
    // of: jumps and dips of the reading are kept from it.
    for (const Condition condition : {Condition::sensor_fault, Condition::air_or_low_coolant}) {
      double& unseen = evidence.log_evidence[static_cast<std::size_t>(condition)];
      unseen = log_sum(unseen, 0.0) - portable_log(2.0);
    }
    std::stable_sort(
        evidence.hypotheses.begin(), evidence.hypotheses.end(),
        [](const Hypothesis& a, const Hypothesis& b) { return a.log_evidence > b.log_evidence; });
    return evidence;
  }

  /// The vehicle as it was known, or as the sound account has it: either may be the true one.
  [[nodiscard]] Score score(const Turns& turns, double misfit_k) const {
    // What is open about the vehicle is as open with turns as without: it cancels.
    const double sound = log_likelihood_of(sound_quick_, misfit_k);
    const Score fitted = score(turns, misfit_k, sound_.z, sound);
    const Score known = score(turns, misfit_k, Vector::Zero(k_vehicle_dimensions),
                              sound - 0.5 * sound_.z.squaredNorm());
    Score better = known.log_evidence > fitted.log_evidence ? known : fitted;
    better.log_evidence = log_sum(known.log_evidence, fitted.log_evidence) - portable_log(2.0);
    return better;
  }

  [[nodiscard]] Score score(const Turns& turns, double misfit_k, const Vector& z,
                            double sound) const {
    const auto run = fit_.by_turns(z, turns.modes, k_quick_observer,
                                   {k_quick_misfit * misfit_k, k_quick_look_s}, k_tracking_look_s);
    const Vector deviations = Eigen::Map<const Vector>(
        run.deviations.data(), static_cast<Eigen::Index>(run.deviations.size()));
    return {run.log_likelihood - sound, misfit_of(deviations) / k_quick_misfit,
            1.0 - mean_of(run.first), turns.what};
  }

  [[nodiscard]] Score score(const Account& account, double misfit_k) const {
    const Vector deviations = quick_deviations(account);
    const double log_evidence = log_likelihood_of(deviations, misfit_k) - account.bound -
                                (log_likelihood_of(sound_quick_, misfit_k) - sound_.bound);
    return {log_evidence, misfit_of(deviations) / k_quick_misfit, 1.0,
            account.candidate->words(account.severity)};
  }

  [[nodiscard]] double log_likelihood_of(const Vector& deviations, double misfit_k) const {
    return fit_.log_likelihood_of(deviations, {k_quick_misfit * misfit_k, k_quick_look_s});
  }

  [[nodiscard]] Vector quick_deviations(const Account& account) const {
    return fit_.deviations_by(account.fault(), account.z, k_quick_observer);
  }

  /// Any of these severities, equally probable; about the best one, where a step of them is many
  /// kelvins of a cold engine, two more within its share.
  [[nodiscard]] std::optional<Score> score_spells(const Weighed& one, double misfit_k) const {
    if (one.turns.empty()) return std::nullopt;
    std::vector<Score> scores;
    for (const Turns& turns : one.turns) scores.push_back(score(turns, misfit_k));
    const auto less = [](const Score& a, const Score& b) {
      return a.log_evidence < b.log_evidence;
    };
    auto best = std::max_element(scores.begin(), scores.end(), less);
    const double severity = one.turns[static_cast<std::size_t>(best - scores.begin())].severity;
    std::vector<Score> about;
    if (one.turns.size() > 1) {
      for (const double side : {-1.0, 1.0}) {
        const double beside = severity + side / (3.0 * static_cast<double>(one.turns.size()));
        about.push_back(score(spells_at(*one.lasting->candidate, beside), misfit_k));
      }
      for (Score* each : {&*best, &about[0], &about[1]}) each->log_evidence -= portable_log(3.0);
      scores.insert(scores.end(), about.begin(), about.end());
      best = std::max_element(scores.begin(), scores.end(), less);
    }
    Score sum = *best;
    sum.log_evidence = -std::numeric_limits<double>::infinity();
    for (const Score& each : scores)
      sum.log_evidence = log_sum(sum.log_evidence, each.log_evidence);
    sum.log_evidence -= portable_log(static_cast<double>(one.turns.size()));
    return sum;
  }

  [[nodiscard]] Score score(const Weighed& one, double misfit_k) const {
    const std::optional<Score> spells = score_spells(one, misfit_k);
    if (!one.lasting) return *spells;
    Score lasting = score(*one.lasting, misfit_k);
    if (!spells) return lasting;
    Score better = spells->log_evidence > lasting.log_evidence ? *spells : lasting;
    better.misfit_k = std::min(spells->misfit_k, lasting.misfit_k);
    better.log_evidence = log_sum(portable_log(k_lasting_prior) + lasting.log_evidence,
                                  portable_log(1.0 - k_lasting_prior) + spells->log_evidence);
    return better;
  }

  const TripFit& fit_;
  Account sound_;
  Vector sound_quick_; ///< K, of the observer that scores
  double sound_misfit_k_ = 0.0;
  std::vector<Weighed> weighed_;
};

} // namespace

CircuitEvidence circuit_evidence(const CircuitTrip& trip, const CircuitKnowledge& knowledge,
                                 bool reading_steps) {
  if (scored_s(trip.inputs) < k_least_scored_s) return {};
  const TripFit fit(trip, knowledge);
  const bool trusted = knowledge.learned && trip.complete;
  CircuitEvidence evidence = Comparison(fit, trusted, reading_steps).result();
  if (!trusted) {
    for (double& log_evidence : evidence.log_evidence) log_evidence *= k_stranger_weight;
  }
  return evidence;
}

} // namespace coolband
