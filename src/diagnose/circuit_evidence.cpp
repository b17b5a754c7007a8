// SPDX-License-Identifier: Apache-2.0
// Each candidate is fitted together with what is not known of the vehicle (Gauss-Newton from what
// is known), and weighed by its evidence: Laplace's approximation, the readings as Student's t and
// as few looks as the observer's memory leaves independent.
#include "diagnose/circuit_evidence.hpp"

#include "circuit/circuit_prior.hpp"
#include "circuit/fit_circuit.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "diagnose/candidates.hpp"
#include "diagnose/switching.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include <Eigen/Dense>

namespace coolband {

namespace {

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;

/// The parameters that a trip may move; the others stay as they are known.
constexpr CircuitParameter k_open[] = {
    CircuitParameter::idle_heat, CircuitParameter::load_heat, CircuitParameter::loss,
    CircuitParameter::wind_loss, CircuitParameter::heater,    CircuitParameter::opens,
    CircuitParameter::span,      CircuitParameter::flow,      CircuitParameter::still_air,
    CircuitParameter::ram_air};
constexpr auto k_dimensions = static_cast<Eigen::Index>(std::size(k_open));

constexpr double k_freedom = 4.0; ///< of Student's t
/// The observer forgets over 300 s, so deviations closer than this say the same thing, s.
constexpr double k_look_s = 200.0;
constexpr Observer k_usual_observer{};
constexpr double k_first_severities[] = {0.1, 0.35, 0.65, 0.95};
/// A severity is drawn about the middle of its range (judgement).
constexpr double k_severity_mean = 0.45;
constexpr double k_severity_scatter = 0.35;
constexpr int k_steps = 3;
constexpr double k_difference = 0.2;   ///< in standard deviations
constexpr double k_longest_move = 2.0; ///< likewise
/// Mean time that a sound spell and a faulty one last, s (judgement).
constexpr double k_sound_spell_s = 1800.0;
constexpr double k_faulty_spell_s = 900.0;
/// A sticking valve holds where it happens to stand, for a few minutes at a time (judgement).
constexpr double k_valve_positions[] = {0.0, 0.1, 0.25, 0.5, 1.0};
constexpr double k_valve_sound_s = 1200.0;
constexpr double k_valve_holds_s = 400.0;
/// Turns that are so quick need an observer that forgets as quickly, s; a prediction that is led
/// back sooner strays less.
constexpr double k_quick_correction_s = 100.0;
constexpr double k_quick_misfit = 0.6;
constexpr double k_quick_look_s = 80.0;
/// An engine that stood for a night is as warm as the air, within this (K); what speaks against a
/// sensor by it is bounded, since an engine may have stood for less.
constexpr double k_cold_soak_k = 3.0;
constexpr double k_cold_soak_most = 3.0;
/// Faults last in three of five cases, else they come and go (judgement).
constexpr double k_lasting_share = 0.6;
/// A fault that is at work for more of the time than this need not be looked for in spells.
constexpr double k_all_the_time = 0.85;

std::size_t index_of(CircuitParameter parameter) { return static_cast<std::size_t>(parameter); }

/// Columns: one standard deviation of the open parameters each, jointly.
Matrix factor_of(const CircuitKnowledge& knowledge) {
  Matrix covariance(k_dimensions, k_dimensions);
  for (Eigen::Index i = 0; i < k_dimensions; ++i) {
    for (Eigen::Index j = 0; j < k_dimensions; ++j)
      covariance(i, j) = knowledge.covariance[index_of(k_open[i])][index_of(k_open[j])];
  }
  return covariance.llt().matrixL();
}

/// A vehicle that differs by `z` standard deviations from what is known.
class Vehicles {
 public:
  explicit Vehicles(const CircuitKnowledge& knowledge)
      : mean_(knowledge.mean), factor_(factor_of(knowledge)) {}

  [[nodiscard]] CircuitValues at(const Vector& z) const {
    const Vector moved = factor_ * z;
    PerParameter<double> fitted = mean_;
    for (Eigen::Index i = 0; i < k_dimensions; ++i) fitted[index_of(k_open[i])] += moved(i);
    return own_units(fitted);
  }

 private:
  PerParameter<double> mean_;
  Matrix factor_;
};

struct Account {
  const Candidate* candidate = nullptr; ///< none: the sound vehicle
  Vector z = Vector::Zero(k_dimensions);
  double severity = 0.0;
  Vector deviations;  ///< K, reading less prediction, of the scored blocks
  double bound = 0.0; ///< what prior and Occam's factor take off the log-likelihood
  std::vector<double> active; ///< weight of each scored block; empty: all the time
  bool severity_only = false; ///< the vehicle stays as the account says
};

class TripFit {
 public:
  TripFit(const CircuitTrip& trip, const CircuitKnowledge& knowledge)
      : inputs_(trip.inputs), vehicles_(knowledge), misfit_k_(knowledge.misfit_k) {
    for (const std::size_t i : inputs_.scored) length_s_.push_back(inputs_.length_s[i]);
  }

  Account fit(const Candidate* candidate) const {
    Account account;
    account.candidate = candidate;
    return fitted(std::move(account));
  }

  /// The vehicle as it is known from elsewhere; `active` weighs the blocks.
  Account fit_severity(const Candidate& candidate, const Vector& vehicle,
                       const std::vector<double>& active) const {
    Account account;
    account.candidate = &candidate;
    account.z = vehicle;
    account.active = active;
    account.severity_only = true;
    return fitted(std::move(account));
  }

  /// K, reading less prediction, of the scored blocks.
  [[nodiscard]] Vector deviations_by(const ReducedFault& fault, const Vector& z,
                                     const Observer& observer = k_usual_observer) const {
    const auto predicted = predict_readings(inputs_, vehicles_.at(z), observer, fault);
    Vector deviations(static_cast<Eigen::Index>(inputs_.scored.size()));
    Eigen::Index k = 0;
    for (const std::size_t i : inputs_.scored) {
      const double deviation = inputs_.coolant_c[i] - predicted[i];
      deviations(k++) = std::isfinite(deviation) ? deviation : 0.0;
    }
    return deviations;
  }

  [[nodiscard]] Vector deviations_at(const Candidate* candidate, const Vector& z,
                                     double severity) const {
    return deviations_by(candidate != nullptr ? candidate->fault(severity) : ReducedFault{}, z);
  }

  /// Log-likelihood of each scored block, up to a constant.
  [[nodiscard]] std::vector<double> log_likelihoods(const Vector& deviations,
                                                    double misfit_k,
                                                    double look_s = k_look_s) const {
    std::vector<double> each(length_s_.size());
    for (std::size_t k = 0; k < each.size(); ++k) {
      const double z = deviations(static_cast<Eigen::Index>(k)) / misfit_k;
      each[k] = -0.5 * (k_freedom + 1.0) * std::log1p(z * z / k_freedom) * length_s_[k] / look_s;
    }
    return each;
  }

  [[nodiscard]] const std::vector<double>& lengths_s() const { return length_s_; }
  [[nodiscard]] double misfit_k() const { return misfit_k_; }

 private:
  [[nodiscard]] double weight(const Account& account, Eigen::Index k) const {
    const auto i = static_cast<std::size_t>(k);
    return length_s_[i] / k_look_s * (account.active.empty() ? 1.0 : account.active[i]);
  }

  [[nodiscard]] double cost(const Account& account) const {
    double sum = 0.5 * account.z.squaredNorm();
    if (account.candidate != nullptr) {
      const double off = (account.severity - k_severity_mean) / k_severity_scatter;
      sum += 0.5 * off * off;
      sum += against_cold_start(account.candidate->fault(account.severity));
    }
    for (Eigen::Index k = 0; k < account.deviations.size(); ++k) {
      const double z = account.deviations(k) / misfit_k_;
      sum += 0.5 * (k_freedom + 1.0) * std::log1p(z * z / k_freedom) * weight(account, k);
    }
    return sum;
  }

  void begin(Account& account) const {
    if (account.candidate == nullptr) {
      account.deviations = deviations_at(nullptr, account.z, 0.0);
      return;
    }
    double least = std::numeric_limits<double>::infinity();
    Account trial = account;
    for (const double severity : k_first_severities) {
      trial.severity = severity;
      trial.deviations = deviations_at(trial.candidate, trial.z, severity);
      const double now = cost(trial);
      if (now >= least) continue;
      least = now;
      account = trial;
    }
  }

  /// d(prediction)/d(z, severity)
  [[nodiscard]] Matrix slopes(const Account& account) const {
    const Eigen::Index columns = k_dimensions + (account.candidate != nullptr ? 1 : 0);
    Matrix slopes = Matrix::Zero(account.deviations.size(), columns);
    for (Eigen::Index p = 0; p < k_dimensions && !account.severity_only; ++p) {
      Vector moved = account.z;
      moved(p) += k_difference;
      slopes.col(p) = (account.deviations -
                       deviations_at(account.candidate, moved, account.severity)) /
                      k_difference;
    }
    if (account.candidate != nullptr) {
      const double step = account.severity > 0.5 ? -0.05 : 0.05;
      slopes.col(k_dimensions) =
          (account.deviations -
           deviations_at(account.candidate, account.z, account.severity + step)) /
          step;
    }
    return slopes;
  }

  [[nodiscard]] Vector weights(const Account& account) const {
    Vector weights(account.deviations.size());
    for (Eigen::Index k = 0; k < weights.size(); ++k) {
      const double z = account.deviations(k) / misfit_k_;
      weights(k) =
          weight(account, k) * (k_freedom + 1.0) / (k_freedom + z * z) / (misfit_k_ * misfit_k_);
    }
    return weights;
  }

  static Vector precision(const Account& account) {
    Vector precision =
        Vector::Ones(k_dimensions + (account.candidate != nullptr ? 1 : 0));
    if (account.candidate != nullptr)
      precision(k_dimensions) = 1.0 / (k_severity_scatter * k_severity_scatter);
    return precision;
  }

  bool improve(Account& account) const {
    const Matrix slope = slopes(account);
    const Vector weight = weights(account);
    Matrix curved = slope.transpose() * weight.asDiagonal() * slope;
    const Vector known = precision(account);
    curved.diagonal() += known;
    Vector gradient = slope.transpose() * weight.cwiseProduct(account.deviations);
    gradient.head(k_dimensions) -= account.z;
    if (account.severity_only) gradient.head(k_dimensions).setZero();
    if (account.candidate != nullptr)
      gradient(k_dimensions) -= known(k_dimensions) * (account.severity - k_severity_mean);
    Vector move = curved.ldlt().solve(gradient);
    const double before = cost(account);
    for (const double part : {1.0, 0.3}) {
      Account moved = account;
      moved.z += (part * move.head(k_dimensions)).cwiseMax(-k_longest_move).cwiseMin(k_longest_move);
      if (account.candidate != nullptr)
        moved.severity = std::clamp(account.severity + part * move(k_dimensions), 0.0, 1.0);
      moved.deviations = deviations_at(moved.candidate, moved.z, moved.severity);
      const double after = cost(moved);
      if (!(after < before)) continue;
      account = std::move(moved);
      return before - after > 0.05;
    }
    return false;
  }

  void settle(Account& account) const {
    const Matrix slope = slopes(account);
    Matrix curved = slope.transpose() * weights(account).asDiagonal() * slope;
    const Vector known = precision(account);
    // Occam's factor: how much narrower the trip leaves what was open before it.
    const Vector scale = known.cwiseSqrt().cwiseInverse();
    curved = scale.asDiagonal() * curved * scale.asDiagonal();
    curved.diagonal().array() += 1.0;
    const Vector pivots = curved.ldlt().vectorD();
    account.bound = 0.5 * pivots.array().log().sum();
    if (!account.severity_only) account.bound += 0.5 * account.z.squaredNorm();
    if (account.candidate != nullptr) {
      const double off = (account.severity - k_severity_mean) / k_severity_scatter;
      account.bound += 0.5 * off * off;
      account.bound += against_cold_start(account.candidate->fault(account.severity));
    }
  }

  Account fitted(Account account) const {
    begin(account);
    for (int step = 0; step < k_steps; ++step) {
      if (!improve(account)) break;
    }
    settle(account);
    return account;
  }

  /// What a start from cold says against a sensor that is wrong when cold, nats.
  [[nodiscard]] double against_cold_start(const ReducedFault& fault) const {
    if (!inputs_.cold_start) return 0.0;
    const auto off = [](double difference_k) {
      return std::min(0.5 * difference_k * difference_k / (k_cold_soak_k * k_cold_soak_k),
                      k_cold_soak_most);
    };
    const double air_c = inputs_.cold_start->air_c;
    const double shown_c = inputs_.cold_start->shown_c;
    return off(fault.true_c(shown_c) - air_c) - off(shown_c - air_c);
  }

  const CircuitInputs& inputs_;
  Vehicles vehicles_;
  double misfit_k_;
  std::vector<double> length_s_; ///< of the scored blocks
};

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
  return most + std::log(std::exp(a - most) + std::exp(b - most));
}

/// One candidate at work all the time, or by turns with the sound vehicle.
struct Weighed {
  Account lasting;
  std::optional<Account> by_turns;
  double misfit_k = 0.0;
};

double robust_misfit_k(const Account& account, const Account& sound,
                       const std::vector<double>& active) {
  std::vector<double> deviations;
  for (Eigen::Index k = 0; k < account.deviations.size(); ++k) {
    const bool at_work = active.empty() || active[static_cast<std::size_t>(k)] > 0.5;
    deviations.push_back(at_work ? account.deviations(k) : sound.deviations(k));
  }
  double squares = 0.0;
  for (double& deviation : deviations) squares += deviation * deviation;
  // Half way between a robust and a plain measure: short large misfits count, but do not rule.
  const double plain = std::sqrt(squares / static_cast<double>(deviations.size()));
  return std::sqrt(plain * std::max(mad_sigma(deviations), 0.25 * plain));
}

class Comparison {
 public:
  explicit Comparison(const TripFit& fit) : fit_(fit) {
    sound_ = fit_.fit(nullptr);
    least_misfit_k_ = robust_misfit_k(sound_, sound_, {});
    sound_misfit_k_ = least_misfit_k_;
    for (const Candidate& candidate : candidates()) add(candidate);
  }

  [[nodiscard]] CircuitEvidence result() const {
    const double misfit_k = std::max(fit_.misfit_k(), least_misfit_k_);
    const auto sound_each = fit_.log_likelihoods(sound_.deviations, misfit_k);
    const double sound_log = sum_of(sound_each) - sound_.bound;
    CircuitEvidence evidence;
    evidence.log_evidence.fill(0.0);
    std::array<double, k_cause_count> members{};
    std::array<double, k_cause_count> sums;
    sums.fill(-std::numeric_limits<double>::infinity());
    evidence.hypotheses.push_back({Condition::normal, "nothing is wrong", sound_misfit_k_, 0.0, 0.0});
    std::vector<Hypothesis> all{sticking_valve(misfit_k)};
    for (const Weighed& one : weighed_) {
      all.push_back(weigh(one, sound_each, misfit_k));
      all.back().log_evidence -= sound_log;
    }
    for (Hypothesis& hypothesis : all) {
      const auto c = static_cast<std::size_t>(hypothesis.condition);
      sums[c] = log_sum(sums[c], hypothesis.log_evidence);
      members[c] += 1.0;
      evidence.hypotheses.push_back(std::move(hypothesis));
    }
    for (std::size_t c = 0; c < k_cause_count; ++c) {
      if (members[c] > 0.0) evidence.log_evidence[c] = sums[c] - std::log(members[c]);
    }
    std::stable_sort(evidence.hypotheses.begin(), evidence.hypotheses.end(),
                     [](const Hypothesis& a, const Hypothesis& b) {
                       return a.log_evidence > b.log_evidence;
                     });
    return evidence;
  }

 private:
  void add(const Candidate& candidate) {
    Weighed one;
    one.lasting = fit_.fit(&candidate);
    one.misfit_k = robust_misfit_k(one.lasting, sound_, {});
    if (candidate.comes_and_goes) look_for_spells(candidate, one);
    least_misfit_k_ = std::min(least_misfit_k_, one.misfit_k);
    weighed_.push_back(std::move(one));
  }

  [[nodiscard]] SwitchingResult turns_of(const std::vector<double>& sound_each,
                                         const Account& account, double misfit_k) const {
    const std::array<SwitchingState, 2> states{
        {{sound_each, k_sound_spell_s},
         {fit_.log_likelihoods(account.deviations, misfit_k), k_faulty_spell_s}}};
    return take_turns(states, fit_.lengths_s());
  }

  static std::vector<double> others(const std::vector<double>& probability) {
    std::vector<double> rest;
    for (const double p : probability) rest.push_back(1.0 - p);
    return rest;
  }

  /// Twice: where the fault seems to be at work, how bad it is there; then where again.
  void look_for_spells(const Candidate& candidate, Weighed& one) const {
    const double misfit_k = fit_.misfit_k();
    const auto sound_each = fit_.log_likelihoods(sound_.deviations, misfit_k);
    const auto first = others(turns_of(sound_each, one.lasting, misfit_k).first);
    if (mean_of(first) > k_all_the_time) return;
    one.by_turns = fit_.fit_severity(candidate, sound_.z, first);
    const auto second = others(turns_of(sound_each, *one.by_turns, misfit_k).first);
    one.misfit_k = std::min(one.misfit_k, robust_misfit_k(*one.by_turns, sound_, second));
  }

  [[nodiscard]] Hypothesis weigh(const Weighed& one, const std::vector<double>& sound_each,
                                 double misfit_k) const {
    const Candidate& candidate = *one.lasting.candidate;
    const double lasting =
        sum_of(fit_.log_likelihoods(one.lasting.deviations, misfit_k)) - one.lasting.bound;
    Hypothesis hypothesis{candidate.condition, candidate.words(one.lasting.severity), one.misfit_k,
                          lasting, 1.0};
    if (!one.by_turns) return hypothesis;
    const auto turns = turns_of(sound_each, *one.by_turns, misfit_k);
    const double by_turns = turns.log_likelihood - sound_.bound - one.by_turns->bound;
    if (by_turns > lasting) {
      hypothesis.what = candidate.words(one.by_turns->severity);
      hypothesis.active_share = 1.0 - mean_of(turns.first);
    }
    hypothesis.log_evidence = log_sum(std::log(k_lasting_share) + lasting,
                                      std::log(1.0 - k_lasting_share) + by_turns);
    return hypothesis;
  }

  /// A valve that holds wherever it happens to stand and then goes again; evidence beyond that of
  /// the sound vehicle.
  [[nodiscard]] Hypothesis sticking_valve(double misfit_k) const {
    const Observer quick{k_quick_correction_s};
    const auto each = [&](const ReducedFault& fault) {
      return fit_.log_likelihoods(fit_.deviations_by(fault, sound_.z, quick),
                                  k_quick_misfit * misfit_k, k_quick_look_s);
    };
    std::vector<SwitchingState> states{{each({}), k_valve_sound_s}};
    for (const double position : k_valve_positions) {
      ReducedFault held;
      held.lift_at_least = held.lift_at_most = position;
      states.push_back({each(held), k_valve_holds_s});
    }
    const auto turns = take_turns(states, fit_.lengths_s());
    return {Condition::thermostat_sticking, "the valve holds where it stands, for minutes at a time",
            misfit_k, turns.log_likelihood - sum_of(states[0].log_likelihood),
            1.0 - mean_of(turns.first)};
  }

  const TripFit& fit_;
  Account sound_;
  double sound_misfit_k_ = 0.0;
  double least_misfit_k_ = 0.0;
  std::vector<Weighed> weighed_;
};

/// Within the reach of any sensor fault that is looked for, of the air.
std::optional<ColdStart> cold_start(const Blocks& blocks, const CircuitDrive& drive) {
  constexpr double k_reach_k = 25.0;
  if (!drive.saw_ambient || drive.blocks.empty()) return std::nullopt;
  const auto shown_c = static_cast<double>(blocks.coolant[0]);
  const double air_c = 0.1 * drive.blocks[0].ambient_dc;
  if (!(std::abs(shown_c - air_c) < k_reach_k)) return std::nullopt;
  return ColdStart{shown_c, air_c};
}

double scored_s(const CircuitInputs& inputs) {
  double sum = 0.0;
  for (const std::size_t i : inputs.scored) sum += inputs.length_s[i];
  return sum;
}

} // namespace

CircuitTrip circuit_trip(const Blocks& blocks, std::span<const BlockRange> telling) {
  constexpr std::size_t k_beginning = 240;
  constexpr std::size_t k_before = 60;
  constexpr std::size_t k_longest_range = 360;
  std::vector<std::uint8_t> chosen(blocks.size(), blocks.size() <= k_most_blocks ? 1 : 0);
  std::size_t count = blocks.size() <= k_most_blocks ? blocks.size() : 0;
  const auto choose = [&](std::size_t first, std::size_t last) {
    for (std::size_t i = first; i < std::min(last + 1, blocks.size()); ++i) {
      if (chosen[i] != 0 || count >= k_most_blocks) continue;
      chosen[i] = 1;
      ++count;
    }
  };
  choose(0, k_beginning);
  for (const BlockRange& range : telling)
    choose(range.first - std::min(range.first, k_before),
           std::min(range.last + k_before, range.first + k_longest_range));
  choose(0, blocks.size()); // whatever room is left

  CircuitDrive drive = circuit_drive(blocks, std::numeric_limits<double>::infinity());
  CircuitTrip trip;
  std::vector<CircuitBlock> kept;
  for (std::size_t i = 0; i < drive.blocks.size(); ++i) {
    if (chosen[i] == 0) continue;
    CircuitBlock block = drive.blocks[i];
    if (!trip.block.empty() && trip.block.back() + 1 != i) {
      block.begins = true;
      block.scored = false;
    }
    kept.push_back(block);
    trip.block.push_back(i);
  }
  drive.blocks = std::move(kept);
  trip.inputs = circuit_inputs({&drive, 1});
  trip.inputs.cold_start = cold_start(blocks, drive);
  return trip;
}

SoundCourse sound_course(const CircuitTrip& trip, const CircuitKnowledge& knowledge,
                         std::size_t blocks) {
  SoundCourse course;
  course.reading_c.assign(blocks, std::nanf(""));
  course.error_k.assign(blocks, std::nanf(""));
  const Vehicles vehicles(knowledge);
  constexpr Observer free_running{std::numeric_limits<double>::infinity(),
                                  std::numeric_limits<double>::infinity()};
  const Vector known = Vector::Zero(k_dimensions);
  const auto centre = predict_readings(trip.inputs, vehicles.at(known), free_running);
  std::vector<double> variance(centre.size(), knowledge.misfit_k * knowledge.misfit_k);
  for (Eigen::Index p = 0; p < k_dimensions; ++p) {
    Vector moved = known;
    moved(p) = 1.0;
    const auto there = predict_readings(trip.inputs, vehicles.at(moved), free_running);
    for (std::size_t i = 0; i < centre.size(); ++i)
      variance[i] += (there[i] - centre[i]) * (there[i] - centre[i]);
  }
  for (std::size_t i = 0; i < centre.size(); ++i) {
    course.reading_c[trip.block[i]] = static_cast<float>(centre[i]);
    course.error_k[trip.block[i]] = static_cast<float>(std::sqrt(variance[i]));
  }
  return course;
}

CircuitEvidence circuit_evidence(const CircuitTrip& trip, const CircuitKnowledge& knowledge) {
  if (scored_s(trip.inputs) < k_least_scored_s) return {};
  const TripFit fit(trip, knowledge);
  return Comparison(fit).result();
}

double sound_misfit_ratio(const CircuitTrip& trip, const CircuitKnowledge& knowledge) {
  if (trip.inputs.scored.empty()) return 1.0;
  const TripFit fit(trip, knowledge);
  const Vector deviations = fit.deviations_at(nullptr, Vector::Zero(k_dimensions), 0.0);
  return deviations.squaredNorm() / static_cast<double>(deviations.size()) /
         (knowledge.misfit_k * knowledge.misfit_k);
}

} // namespace coolband
