// SPDX-License-Identifier: Apache-2.0
// The drives' joint uncertainty, and what changes from one drive to the next on top of it.
#include "diagnose/circuit_knowledge.hpp"

#include "circuit/circuit_prior.hpp"

#include <algorithm>

namespace coolband {

namespace {

/// What one drive differs in from the next without any fault (wind, heater, dirt, fuel, load of the
/// fan), standard deviations on the scale of the fit; judgement.
constexpr PerParameter<double> k_from_drive_to_drive{0.10, 0.08, 0.25, 0.25, 0.40, 0.05, 0.10,
                                                     0.5,  0.10, 0.05, 0.05, 0.12, 0.90, 0.15,
                                                     0.25, 0.25, 0.10, 0.3,  0.15};
/// Published tolerance of the start of opening (TM 5-3825-229-14&P: 3 °C is the limit).
constexpr double k_rating_tolerance_k = 1.5;
/// A usual circuit foretells a stranger's readings no better than this, K (judgement).
constexpr double k_stranger_misfit_k = 1.0;
/// No vehicle is foretold better than this, K: faults and weather follow none of our laws exactly.
constexpr double k_least_misfit_k = 0.9;

void add_independent(CircuitKnowledge& knowledge, const PerParameter<double>& scatter) {
  for (std::size_t p = 0; p < k_circuit_parameters; ++p)
    knowledge.covariance[p][p] += scatter[p] * scatter[p];
}

void take_joint(CircuitKnowledge& knowledge, const std::vector<double>& joint) {
  const auto at = [&](std::size_t i, std::size_t j) { return joint[i * (i + 1) / 2 + j]; };
  for (std::size_t i = 0; i < k_circuit_parameters; ++i) {
    for (std::size_t j = 0; j < k_circuit_parameters; ++j) {
      for (std::size_t k = 0; k <= std::min(i, j); ++k)
        knowledge.covariance[i][j] += at(i, k) * at(j, k);
    }
  }
}

/// Limits alone, of a band that an earlier build wrote.
void take_limits(CircuitKnowledge& knowledge, const FittedCircuit& circuit) {
  constexpr double k_95_pct = 1.959963984540054;
  PerParameter<double> scatter{};
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) {
    const CircuitValue& value = circuit.values[p];
    scatter[p] = (on_fit_scale(p, value.high) - on_fit_scale(p, value.low)) / (2.0 * k_95_pct);
  }
  add_independent(knowledge, scatter);
}

CircuitKnowledge learned(const FittedCircuit& circuit) {
  CircuitKnowledge knowledge;
  knowledge.learned = true;
  for (std::size_t p = 0; p < k_circuit_parameters; ++p)
    knowledge.mean[p] = on_fit_scale(p, circuit.values[p].value);
  if (circuit.joint.empty())
    take_limits(knowledge, circuit);
  else
    take_joint(knowledge, circuit.joint);
  knowledge.misfit_k = std::max(circuit.misfit_k, k_least_misfit_k);
  return knowledge;
}

CircuitKnowledge usual(const std::optional<double>& opens_c) {
  CircuitKnowledge knowledge;
  knowledge.mean = usual_prior().mean;
  PerParameter<double> scatter = usual_prior().scatter;
  if (opens_c) {
    const auto opens = static_cast<std::size_t>(CircuitParameter::opens);
    knowledge.mean[opens] = *opens_c;
    scatter[opens] = k_rating_tolerance_k;
  }
  add_independent(knowledge, scatter);
  knowledge.misfit_k = k_stranger_misfit_k;
  return knowledge;
}

} // namespace

CircuitKnowledge circuit_knowledge(const NormalBand& band,
                                   const std::optional<VehicleProfile>& profile) {
  const auto rating = profile ? profile->thermostat_opens_c : band.opens_c;
  CircuitKnowledge knowledge = band.circuit ? learned(*band.circuit) : usual(rating);
  add_independent(knowledge, k_from_drive_to_drive);
  return knowledge;
}

} // namespace coolband
