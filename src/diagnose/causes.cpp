// SPDX-License-Identifier: Apache-2.0
// From evidence to ranked causes: Bayes' rule with stated priors.
#include "diagnose/causes.hpp"

#include "core/portable_math.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include <fmt/core.h>

namespace coolband {

namespace {

/// How common each cause is among trips that somebody takes the trouble to check
/// (common practice, no source). Same order as Condition.
constexpr std::array<double, k_cause_count> k_prior = {0.79,  0.06, 0.03,  0.04, 0.015,
                                                       0.015, 0.01, 0.015, 0.025};

/// Evidence speaks for or against a cause when it is this much more or less likely under it than
/// under the other causes together.
constexpr double k_telling = 1.5;

std::array<double, k_cause_count> posterior(const std::vector<Evidence>& evidence,
                                            const CircuitEvidence& circuit) {
  std::array<double, k_cause_count> weight{};
  for (std::size_t c = 0; c < k_cause_count; ++c) {
    weight[c] = portable_log(k_prior[c]) + k_circuit_weight * circuit.log_evidence[c];
    for (const Evidence& item : evidence) weight[c] += portable_log(item.likelihood[c]);
  }
  const double most = *std::max_element(weight.begin(), weight.end());
  for (double& w : weight) w = portable_exp(w - most);
  const double sum = std::accumulate(weight.begin(), weight.end(), 0.0);
  for (double& w : weight) w /= sum;
  return weight;
}

/// Likelihood of one observation under all causes but `cause`, by their priors.
double elsewhere(const Evidence& item, std::size_t cause) {
  double sum = 0.0;
  double weight = 0.0;
  for (std::size_t c = 0; c < k_cause_count; ++c) {
    if (c == cause) continue;
    sum += k_prior[c] * item.likelihood[c];
    weight += k_prior[c];
  }
  return sum / weight;
}

/// The best account of this cause, if any.
const Hypothesis* best_of(const CircuitEvidence& circuit, Condition condition) {
  const auto found = std::find_if(circuit.hypotheses.begin(), circuit.hypotheses.end(),
                                  [&](const Hypothesis& h) { return h.condition == condition; });
  return found == circuit.hypotheses.end() ? nullptr : &*found;
}

/// Nats from which the circuit's account speaks for or against a cause.
constexpr double k_circuit_telling = 2.0;

/// What speaks for or against a cause, and how loud, nats.
struct Telling {
  double nats = 0.0;
  std::string text;
};
using Tellings = std::vector<Telling>;

std::string follows_if(const Hypothesis& account, const Hypothesis& sound) {
  const std::string followed = fmt::format("{:.1f} K", account.misfit_k);
  const std::string by_sound = fmt::format("{:.1f} K", sound.misfit_k);
  if (followed == by_sound)
    return fmt::format("the heat balance follows the course of the readings better if {}",
                       account.what);
  return fmt::format("the heat balance follows the readings within {} if {} (sound vehicle: {})",
                     followed, account.what, by_sound);
}

void weigh_circuit(Condition condition, const CircuitEvidence& circuit, Tellings& in_favour,
                   Tellings& against) {
  const Hypothesis* account = best_of(circuit, condition);
  const Hypothesis* sound = best_of(circuit, Condition::normal);
  if (account == nullptr || sound == nullptr) return;
  const double best = circuit.hypotheses.front().log_evidence;
  const double behind = best - account->log_evidence;
  if (condition == Condition::normal) {
    if (behind > k_circuit_telling)
      against.push_back(
          {k_circuit_weight * behind,
           fmt::format("the heat balance of a sound vehicle misses the readings by {:.1f} K",
                       account->misfit_k)});
    return;
  }
  if (account->log_evidence > k_circuit_telling && behind < k_circuit_telling) {
    in_favour.push_back({k_circuit_weight * account->log_evidence, follows_if(*account, *sound)});
  } else if (best > k_circuit_telling && behind > k_circuit_telling) {
    against.push_back(
        {k_circuit_weight * behind,
         fmt::format("the heat balance does not fit: {:.1f} K off at best", account->misfit_k)});
  }
}

void weigh(Condition condition, const std::vector<Evidence>& evidence, Tellings& in_favour,
           Tellings& against) {
  const auto c = static_cast<std::size_t>(condition);
  for (const Evidence& item : evidence) {
    const double ratio = item.likelihood[c] / elsewhere(item, c);
    if (ratio >= k_telling) in_favour.push_back({portable_log(ratio), item.text});
    if (ratio <= 1.0 / k_telling) against.push_back({-portable_log(ratio), item.text});
  }
}

/// The loudest first.
std::vector<std::string> texts_of(Tellings tellings) {
  std::stable_sort(tellings.begin(), tellings.end(),
                   [](const Telling& a, const Telling& b) { return a.nats > b.nats; });
  std::vector<std::string> texts;
  for (Telling& telling : tellings) texts.push_back(std::move(telling.text));
  return texts;
}

} // namespace

std::vector<Cause> rank_causes(const std::vector<Evidence>& evidence,
                               const CircuitEvidence& circuit) {
  const auto probability = posterior(evidence, circuit);
  std::vector<Cause> causes;
  for (std::size_t c = 0; c < k_cause_count; ++c) {
    Cause cause;
    cause.condition = static_cast<Condition>(c);
    cause.probability = probability[c];
    cause.confirm_by = confirming_checks(cause.condition);
    Tellings in_favour;
    Tellings against;
    weigh_circuit(cause.condition, circuit, in_favour, against);
    weigh(cause.condition, evidence, in_favour, against);
    cause.evidence_for = texts_of(std::move(in_favour));
    cause.evidence_against = texts_of(std::move(against));
    causes.push_back(std::move(cause));
  }
  std::stable_sort(causes.begin(), causes.end(),
                   [](const Cause& a, const Cause& b) { return a.probability > b.probability; });
  return causes;
}

std::vector<std::string> confirming_checks(Condition condition) {
  switch (condition) {
  case Condition::thermostat_stuck_open:
    return {"from cold, watch the radiator's inlet hose: with a sound thermostat it stays cool "
            "until the engine is near its opening temperature",
            "read the sensor circuit's resistance against the maker's table: added resistance also "
            "reads cold",
            "bench test, thermostat removed and hung in stirred water: it must be shut when cold, "
            "start to open within 3 °C of the stamped value and close again on cooling"};
  case Condition::thermostat_stuck_closed:
    return {"check level (cold), belt and pump first: they share this signature",
            "with the engine hot, compare both radiator hoses by infrared thermometer: a cool "
            "outlet hose and a hot engine mean that no coolant passes",
            "bench test, thermostat removed: it must be fully open 12 °C above the stamped value"};
  case Condition::thermostat_sticking:
    return {"check for trapped air and level (cold): air at the element also makes it late",
            "bench test, thermostat removed: heat and cool it twice and note where it opens and "
            "where it shuts; late or jerky movement shows what one opening test does not"};
  case Condition::fan_not_cooling:
    return {
        "let it idle hot and see whether the fan comes in at its temperature (keep clear of it)",
        "check fuse, relay, clutch and shroud"};
  case Condition::radiator_restricted:
    return {"look for dirt, bent fins and blocked grille in front of the core",
            "scan the core with an infrared thermometer for cold spots"};
  case Condition::coolant_flow_low:
    return {"check belt, tensioner and pump for slip and leaks",
            "see whether the cabin heater is hot at raised idle: lukewarm means too little flow"};
  case Condition::air_or_low_coolant:
    return {"check the level with the engine COLD, then bleed by the maker's procedure",
            "pressure-test the cold system and look for the leak"};
  case Condition::sensor_fault:
    return {"compare the reading with an independent thermometer on the housing",
            "inspect plug and wiring while wiggling them; read the resistance against the maker's "
            "table",
            "after a night's stand it must agree with the outside air within a few degrees"};
  default: return {};
  }
}

} // namespace coolband
