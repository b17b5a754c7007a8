// SPDX-License-Identifier: Apache-2.0
// Each candidate is fitted together with what is not known of the vehicle (Gauss-Newton from what
// is known), and weighed by its evidence: Laplace's approximation, the readings as Student's t and
// as few looks as the observer's memory leaves independent.
#include "diagnose/circuit_evidence.hpp"

#include "circuit/by_turns.hpp"
#include "circuit/circuit_prior.hpp"
#include "circuit/fit_circuit.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "diagnose/candidates.hpp"

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
    CircuitParameter::ram_air,   CircuitParameter::fan,       CircuitParameter::fan_after};
constexpr auto k_parameters = static_cast<Eigen::Index>(std::size(k_open));
/// The last dimension is the wind, which no log tells: it blows through the radiator with or
/// against the road's. Standard deviation over 25 m/s: 3 m/s, a light breeze to a fresh one
/// (judgement).
constexpr Eigen::Index k_dimensions = k_parameters + 1;
constexpr double k_wind_scatter = 3.0 / 25.0;

constexpr double k_freedom = 4.0; ///< of Student's t
/// The observer forgets over 300 s, so deviations closer than this say the same thing, s.
constexpr double k_look_s = 200.0;
constexpr Observer k_usual_observer{300.0};
constexpr double k_first_severities[] = {0.1, 0.35, 0.65, 0.95};
/// A severity is drawn about the middle of its range (judgement).
constexpr double k_severity_mean = 0.45;
constexpr double k_severity_scatter = 0.35;
constexpr int k_steps = 12;
constexpr double k_least_gain = 0.02;  ///< nats
constexpr double k_difference = 0.2;   ///< in standard deviations
constexpr double k_longest_move = 2.0; ///< likewise
/// Mean time that a sound spell and a faulty one last, s (judgement).
constexpr double k_sound_spell_s = 1800.0;
constexpr double k_faulty_spell_s = 900.0;
/// A sticking valve holds where it happens to stand, for a few minutes at a time (judgement).
constexpr double k_valve_positions[] = {0.0, 0.1, 0.25, 0.5, 1.0};
constexpr double k_valve_sound_s = 300.0;
constexpr double k_valve_holds_s = 250.0;
/// Turns that are so quick need an observer that forgets as quickly, s; a prediction that is led
/// back sooner strays less.
constexpr Observer k_quick_observer{100.0};
constexpr double k_quick_misfit = 0.6;
constexpr double k_quick_look_s = 80.0;
/// To see a turn as it happens, each reading is believed more than it is in the sum, s.
constexpr double k_tracking_look_s = 20.0;
/// Slugs of gas pass within minutes (judgement), take so much of the flow, or leave the sensor in
/// gas so much colder.
constexpr double k_gas_free_s = 600.0;
constexpr double k_gas_slug_s = 60.0;
constexpr double k_bare_sensor_s = 30.0;
constexpr double k_gas_flows[] = {0.5, 0.15};
constexpr double k_bare_sensor_k[] = {6.0, 12.0, 20.0};
/// An engine that stood for a night is as warm as the air, within this (K); what speaks against a
/// sensor by it is bounded, since an engine may have stood for less.
constexpr double k_cold_soak_k = 3.0;
constexpr double k_cold_soak_most = 3.0;
/// The usual circuit of a stranger's vehicle is believed to this part (judgement).
constexpr double k_stranger_weight = 0.3;
/// Faults last in four of five cases, else they come and go (judgement).
constexpr double k_lasting_share = 0.8;
/// An account that may put its turns wherever they fit is believed less than one that says
/// beforehand where it fails, nats (judgement).
constexpr double k_free_turns = 4.0;
constexpr double k_spell_severities[] = {0.1, 0.35, 0.6, 0.85};

std::size_t index_of(CircuitParameter parameter) { return static_cast<std::size_t>(parameter); }

/// Columns: one standard deviation of the open parameters each, jointly.
Matrix factor_of(const CircuitKnowledge& knowledge) {
  Matrix covariance(k_parameters, k_parameters);
  for (Eigen::Index i = 0; i < k_parameters; ++i) {
    for (Eigen::Index j = 0; j < k_parameters; ++j)
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
    const Vector moved = factor_ * z.head(k_parameters);
    PerParameter<double> fitted = mean_;
    for (Eigen::Index i = 0; i < k_parameters; ++i) fitted[index_of(k_open[i])] += moved(i);
    return own_units(fitted);
  }

 private:
  PerParameter<double> mean_;
  Matrix factor_;
};

/// The drive with the wind of `z` in it.
CircuitInputs in_wind(const CircuitInputs& inputs, const Vector& z) {
  CircuitInputs windy = inputs;
  const double wind = k_wind_scatter * z(k_dimensions - 1);
  if (wind == 0.0) return windy;
  for (std::size_t i = 0; i < windy.size(); ++i)
    windy.air[i] = air_of_wind(std::max(inputs.wind[i] + wind, 0.0));
  return windy;
}

struct Account {
  const Candidate* candidate = nullptr; ///< none: the sound vehicle
  Vector z = Vector::Zero(k_dimensions);
  double severity = 0.0;
  Vector deviations;     ///< K, reading less prediction, of the scored blocks
  double damping = 1e-2; ///< of the next step (Levenberg and Marquardt)
  double bound = 0.0;    ///< what prior and Occam's factor take off the log-likelihood
};

class TripFit {
 public:
  TripFit(const CircuitTrip& trip, const CircuitKnowledge& knowledge)
      : inputs_(trip.inputs), vehicles_(knowledge), misfit_k_(knowledge.misfit_k) {
    for (const std::size_t i : inputs_.scored) length_s_.push_back(inputs_.length_s[i]);
  }

  [[nodiscard]] Account fit_sound() const { return fitted({}); }

  /// From the vehicle as it was known, or as the sound account leaves it, whatever is nearer.
  [[nodiscard]] Account fit(const Candidate& candidate, const Account& sound) const {
    Account best;
    double least = std::numeric_limits<double>::infinity();
    for (const Vector& z : {Vector(Vector::Zero(k_dimensions)), sound.z}) {
      for (const double severity : k_first_severities) {
        Account trial;
        trial.candidate = &candidate;
        trial.z = z;
        trial.severity = severity;
        trial.deviations = deviations_at(&candidate, z, severity);
        const double now = cost(trial);
        if (now >= least) continue;
        least = now;
        best = std::move(trial);
      }
    }
    return fitted(std::move(best));
  }

  /// K, reading less prediction, of the scored blocks.
  [[nodiscard]] Vector deviations_by(const ReducedFault& fault, const Vector& z,
                                     const Observer& observer = k_usual_observer) const {
    const auto predicted = predict_readings(in_wind(inputs_, z), vehicles_.at(z), observer, fault);
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

  /// Up to a constant.
  [[nodiscard]] double log_likelihood_of(const Vector& deviations, const Weighing& weighing) const {
    double sum = 0.0;
    for (std::size_t k = 0; k < length_s_.size(); ++k)
      sum += log_likelihood(deviations(static_cast<Eigen::Index>(k)), length_s_[k], weighing);
    return sum;
  }

  [[nodiscard]] ByTurns by_turns(const Vector& z, std::span<const Mode> modes,
                                 const Observer& observer, const Weighing& weighing) const {
    return run_by_turns(in_wind(inputs_, z), vehicles_.at(z), modes, observer, weighing);
  }

  [[nodiscard]] double misfit_k() const { return misfit_k_; }

 private:
  [[nodiscard]] double weight(Eigen::Index k) const {
    return length_s_[static_cast<std::size_t>(k)] / k_look_s;
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
      sum += 0.5 * (k_freedom + 1.0) * std::log1p(z * z / k_freedom) * weight(k);
    }
    return sum;
  }

  /// d(prediction)/d(z, severity)
  [[nodiscard]] Matrix slopes(const Account& account) const {
    const Eigen::Index columns = k_dimensions + (account.candidate != nullptr ? 1 : 0);
    Matrix slopes = Matrix::Zero(account.deviations.size(), columns);
    for (Eigen::Index p = 0; p < k_dimensions; ++p) {
      Vector moved = account.z;
      moved(p) += k_difference;
      slopes.col(p) =
          (account.deviations - deviations_at(account.candidate, moved, account.severity)) /
          k_difference;
    }
    if (account.candidate != nullptr) {
      const double step = account.severity > 0.5 ? -0.05 : 0.05;
      slopes.col(k_dimensions) = (account.deviations - deviations_at(account.candidate, account.z,
                                                                     account.severity + step)) /
                                 step;
    }
    return slopes;
  }

  [[nodiscard]] Vector weights(const Account& account) const {
    Vector weights(account.deviations.size());
    for (Eigen::Index k = 0; k < weights.size(); ++k) {
      const double z = account.deviations(k) / misfit_k_;
      weights(k) = weight(k) * (k_freedom + 1.0) / (k_freedom + z * z) / (misfit_k_ * misfit_k_);
    }
    return weights;
  }

  static Vector precision(const Account& account) {
    Vector precision = Vector::Ones(k_dimensions + (account.candidate != nullptr ? 1 : 0));
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
    if (account.candidate != nullptr)
      gradient(k_dimensions) -= known(k_dimensions) * (account.severity - k_severity_mean);
    const double before = cost(account);
    for (; account.damping < 1e4; account.damping *= 8.0) {
      Matrix damped = curved;
      damped.diagonal() *= 1.0 + account.damping;
      const Vector move = damped.ldlt().solve(gradient);
      Account moved = account;
      moved.z += Vector(move.head(k_dimensions)).cwiseMax(-k_longest_move).cwiseMin(k_longest_move);
      if (account.candidate != nullptr)
        moved.severity = std::clamp(account.severity + move(k_dimensions), 0.0, 1.0);
      moved.deviations = deviations_at(moved.candidate, moved.z, moved.severity);
      const double after = cost(moved);
      if (!(after < before)) continue;
      account = std::move(moved);
      account.damping = std::max(account.damping / 8.0, 1e-3);
      return before - after > k_least_gain;
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
    account.bound = 0.5 * account.z.squaredNorm() + 0.5 * pivots.array().log().sum();
    if (account.candidate != nullptr) {
      const double off = (account.severity - k_severity_mean) / k_severity_scatter;
      account.bound += 0.5 * off * off;
      account.bound += against_cold_start(account.candidate->fault(account.severity));
    }
  }

  Account fitted(Account account) const {
    if (account.candidate == nullptr) account.deviations = deviations_at(nullptr, account.z, 0.0);
    for (int step = 0; step < k_steps; ++step) {
      if (!improve(account)) break;
    }
    settle(account);
    return account;
  }

  /// What a start from cold says against a sensor that is wrong when cold, nats; in full, since it
  /// rests on no law of the circuit.
  [[nodiscard]] double against_cold_start(const ReducedFault& fault) const {
    if (!inputs_.cold_start) return 0.0;
    const auto off = [](double difference_k) {
      return std::min(0.5 * difference_k * difference_k / (k_cold_soak_k * k_cold_soak_k),
                      k_cold_soak_most);
    };
    const double air_c = inputs_.cold_start->air_c;
    const double shown_c = inputs_.cold_start->shown_c;
    return (off(fault.true_c(shown_c) - air_c) - off(shown_c - air_c)) / k_circuit_weight;
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

/// Half way between a robust and a plain measure: short large misfits count, but do not rule.
double misfit_of(const Vector& deviations) {
  const double plain = std::sqrt(deviations.squaredNorm() / static_cast<double>(deviations.size()));
  const std::vector<double> each(deviations.data(), deviations.data() + deviations.size());
  return std::sqrt(plain * std::max(mad_sigma(each), 0.25 * plain));
}

/// Ways of working that take turns, the sound one first.
struct Turns {
  Condition condition = Condition::normal;
  std::string what;
  std::vector<Mode> modes;
};

/// A valve that holds wherever it happens to stand and then goes again.
Turns sticking_valve() {
  Turns turns{
      Condition::thermostat_sticking, "the valve holds where it stands, for minutes at a time", {}};
  turns.modes.push_back({{}, k_valve_sound_s});
  for (const double position : k_valve_positions) {
    ReducedFault held;
    held.lift_at_least = held.lift_at_most = position;
    turns.modes.push_back({held, k_valve_holds_s});
  }
  return turns;
}

/// Gas on its way through the circuit.
Turns slugs_of_gas() {
  Turns turns{
      Condition::air_or_low_coolant, "gas takes flow, or leaves the sensor bare, in slugs", {}};
  turns.modes.push_back({{}, k_gas_free_s});
  for (const double left : k_gas_flows) {
    ReducedFault slug;
    slug.flow = left;
    turns.modes.push_back({slug, k_gas_slug_s, true});
  }
  for (const double low_k : k_bare_sensor_k) {
    ReducedFault bare;
    bare.offset_k = -low_k;
    turns.modes.push_back({bare, k_bare_sensor_s, true});
  }
  return turns;
}

/// A candidate that comes and goes, at several severities.
std::vector<Turns> spells_of(const Candidate& candidate) {
  std::vector<Turns> all;
  if (!candidate.comes_and_goes) return all;
  for (const double severity : k_spell_severities) {
    all.push_back({candidate.condition,
                   candidate.words(severity),
                   {{{}, k_sound_spell_s}, {candidate.fault(severity), k_faulty_spell_s}}});
  }
  return all;
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
  std::optional<Account> lasting;
  std::vector<Turns> turns; ///< any of them, equally probable
};

class Comparison {
 public:
  Comparison(const TripFit& fit, bool learned) : fit_(fit), sound_(fit.fit_sound()) {
    sound_quick_ = quick_deviations(sound_);
    sound_misfit_k_ = misfit_of(sound_quick_) / k_quick_misfit;
    for (const Candidate& candidate : candidates()) {
      // Against a circuit that is not this vehicle's own a slow sensor would excuse any misfit.
      if (!learned && candidate.for_known_vehicles) continue;
      weighed_.push_back({candidate.condition, fit_.fit(candidate, sound_), spells_of(candidate)});
    }
    if (!learned) return; // free turns would only soak up what the usual circuit gets wrong
    weighed_.push_back({Condition::thermostat_sticking, std::nullopt, {sticking_valve()}});
    weighed_.push_back({Condition::air_or_low_coolant, std::nullopt, {slugs_of_gas()}});
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
      sums[c] = log_sum(sums[c], score.log_evidence);
      members[c] += 1.0;
      evidence.hypotheses.push_back({weighed_[i].condition, score.what, score.misfit_k,
                                     score.log_evidence, score.active_share});
    }
    for (std::size_t c = 0; c < k_cause_count; ++c) {
      if (members[c] > 0.0) evidence.log_evidence[c] = sums[c] - std::log(members[c]);
    }
    // As often as not a sensor is wrong in ways that the circuit takes no notice of.
    double& sensor = evidence.log_evidence[static_cast<std::size_t>(Condition::sensor_fault)];
    sensor = log_sum(sensor, 0.0) - std::log(2.0);
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
    const Score known =
        score(turns, misfit_k, Vector::Zero(k_dimensions), sound - 0.5 * sound_.z.squaredNorm());
    Score better = known.log_evidence > fitted.log_evidence ? known : fitted;
    better.log_evidence = log_sum(known.log_evidence, fitted.log_evidence) - std::log(2.0);
    return better;
  }

  [[nodiscard]] Score score(const Turns& turns, double misfit_k, const Vector& z,
                            double sound) const {
    const auto run = fit_.by_turns(z, turns.modes, k_quick_observer,
                                   {k_quick_misfit * misfit_k, k_tracking_look_s});
    const Vector deviations = Eigen::Map<const Vector>(
        run.deviations.data(), static_cast<Eigen::Index>(run.deviations.size()));
    return {run.log_likelihood * k_tracking_look_s / k_quick_look_s - sound,
            misfit_of(deviations) / k_quick_misfit, 1.0 - mean_of(run.first), turns.what};
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
    const ReducedFault fault =
        account.candidate != nullptr ? account.candidate->fault(account.severity) : ReducedFault{};
    return fit_.deviations_by(fault, account.z, k_quick_observer);
  }

  [[nodiscard]] Score score(const Weighed& one, double misfit_k) const {
    std::optional<Score> spells;
    for (const Turns& turns : one.turns) {
      Score next = score(turns, misfit_k);
      next.log_evidence -= std::log(static_cast<double>(one.turns.size()));
      if (!spells) {
        spells = std::move(next);
        continue;
      }
      const double both = log_sum(spells->log_evidence, next.log_evidence);
      if (next.log_evidence > spells->log_evidence) spells = std::move(next);
      spells->log_evidence = both;
    }
    if (!one.lasting) {
      spells->log_evidence -= k_free_turns;
      return *spells;
    }
    const Score lasting = score(*one.lasting, misfit_k);
    if (!spells) return lasting;
    Score better = spells->log_evidence > lasting.log_evidence ? *spells : lasting;
    better.misfit_k = std::min(spells->misfit_k, lasting.misfit_k);
    better.log_evidence = log_sum(std::log(k_lasting_share) + lasting.log_evidence,
                                  std::log(1.0 - k_lasting_share) + spells->log_evidence);
    return better;
  }

  const TripFit& fit_;
  Account sound_;
  Vector sound_quick_; ///< K, of the observer that scores
  double sound_misfit_k_ = 0.0;
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

CircuitTrip circuit_trip(const Blocks& blocks, std::span<const BlockRange> telling,
                         const std::vector<bool>& unbelievable) {
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
    if (!unbelievable.empty() && unbelievable[i]) {
      block.coolant_cc = CircuitBlock::k_no_reading;
      block.scored = false;
    }
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
    const auto there =
        predict_readings(in_wind(trip.inputs, moved), vehicles.at(moved), free_running);
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
  CircuitEvidence evidence = Comparison(fit, knowledge.learned).result();
  if (!knowledge.learned) {
    for (double& log_evidence : evidence.log_evidence) log_evidence *= k_stranger_weight;
  }
  return evidence;
}

double sound_misfit_ratio(const CircuitTrip& trip, const CircuitKnowledge& knowledge) {
  if (trip.inputs.scored.empty()) return 1.0;
  const TripFit fit(trip, knowledge);
  const Vector deviations = fit.deviations_at(nullptr, Vector::Zero(k_dimensions), 0.0);
  return deviations.squaredNorm() / static_cast<double>(deviations.size()) /
         (knowledge.misfit_k * knowledge.misfit_k);
}

} // namespace coolband
