// SPDX-License-Identifier: Apache-2.0
// What is known of a vehicle: by its band's joint factor, by limits alone, by its rating, or by
// what is usual.
#include "diagnose/circuit_knowledge.hpp"

#include "circuit/circuit_prior.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace coolband;

namespace {

using P = CircuitParameter;

constexpr std::size_t k_joint_size = k_circuit_parameters * (k_circuit_parameters + 1) / 2;

std::size_t index_of(P parameter) { return static_cast<std::size_t>(parameter); }
std::size_t place_of(P row, P column) {
  return index_of(row) * (index_of(row) + 1) / 2 + index_of(column);
}

/// A band whose circuit is the usual one, known to a tenth (`opens`: to half a kelvin).
NormalBand band_with(std::vector<double> joint, double misfit_k = 1.4) {
  NormalBand band;
  FittedCircuit circuit;
  circuit.joint = std::move(joint);
  circuit.misfit_k = misfit_k;
  constexpr double k_95_pct = 1.96;
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) {
    const double value = usual_circuit()[p];
    const bool opens = p == index_of(P::opens);
    circuit.values[p].value = value;
    circuit.values[p].low = opens ? value - 0.5 * k_95_pct : value * std::exp(-0.1 * k_95_pct);
    circuit.values[p].high = opens ? value + 0.5 * k_95_pct : value * std::exp(0.1 * k_95_pct);
  }
  band.circuit = circuit;
  return band;
}

/// What the drives' own uncertainty adds to what changes from drive to drive.
double added(const NormalBand& band, P row, P column) {
  const CircuitKnowledge certain =
      circuit_knowledge(band_with(std::vector<double>(k_joint_size, 0.0)), {});
  const CircuitKnowledge knowledge = circuit_knowledge(band, {});
  return knowledge.covariance[index_of(row)][index_of(column)] -
         certain.covariance[index_of(row)][index_of(column)];
}

VehicleProfile rated(std::optional<double> opens_c) {
  VehicleProfile profile;
  profile.thermostat_opens_c = opens_c;
  return profile;
}

} // namespace

TEST_CASE("the joint factor times its transpose is the covariance, on the scale of the fit") {
  std::vector<double> joint(k_joint_size, 0.0);
  joint[place_of(P::idle_heat, P::idle_heat)] = 0.3;
  joint[place_of(P::load_heat, P::idle_heat)] = -0.2;
  joint[place_of(P::load_heat, P::load_heat)] = 0.4;
  joint[place_of(P::fan_after, P::load_heat)] = 0.5;
  const NormalBand band = band_with(joint);
  CHECK(added(band, P::idle_heat, P::idle_heat) == doctest::Approx(0.09));
  CHECK(added(band, P::load_heat, P::idle_heat) == doctest::Approx(-0.06));
  CHECK(added(band, P::idle_heat, P::load_heat) == doctest::Approx(-0.06));
  CHECK(added(band, P::load_heat, P::load_heat) == doctest::Approx(0.04 + 0.16));
  CHECK(added(band, P::fan_after, P::load_heat) == doctest::Approx(0.2));
  CHECK(added(band, P::fan_after, P::idle_heat) == doctest::Approx(0.0));
  CHECK(added(band, P::fan_after, P::fan_after) == doctest::Approx(0.25));
}

TEST_CASE("a learned circuit gives the mean in logarithms, the opening in degrees") {
  const CircuitKnowledge knowledge = circuit_knowledge(band_with({}), {});
  CHECK(knowledge.learned);
  CHECK(knowledge.mean[index_of(P::opens)] == usual_circuit()[index_of(P::opens)]);
  CHECK(std::exp(knowledge.mean[index_of(P::fan)]) ==
        doctest::Approx(usual_circuit()[index_of(P::fan)]));
}

TEST_CASE("a band without a joint factor gives the limits of each parameter, independent") {
  const NormalBand band = band_with({});
  CHECK(added(band, P::idle_heat, P::idle_heat) == doctest::Approx(0.01).epsilon(1e-3));
  CHECK(added(band, P::opens, P::opens) == doctest::Approx(0.25).epsilon(1e-3));
  CHECK(added(band, P::load_heat, P::idle_heat) == 0.0);
}

TEST_CASE("every drive differs from the last, however well the circuit is known") {
  const auto certain = circuit_knowledge(band_with(std::vector<double>(k_joint_size, 0.0)), {});
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) CHECK(certain.covariance[p][p] > 0.0);
}

TEST_CASE("no circuit is believed to foretell better than any can") {
  CHECK(circuit_knowledge(band_with({}, 1.4), {}).misfit_k == 1.4);
  CHECK(circuit_knowledge(band_with({}, 0.1), {}).misfit_k ==
        circuit_knowledge(band_with({}, 0.2), {}).misfit_k);
  CHECK(circuit_knowledge(band_with({}, 0.1), {}).misfit_k > 0.5);
}

TEST_CASE("without drives the usual circuit stands, with the rating where there is one") {
  const NormalBand band;
  const CircuitKnowledge stranger = circuit_knowledge(band, {});
  CHECK_FALSE(stranger.learned);
  CHECK(stranger.mean == usual_prior().mean);

  const CircuitKnowledge known = circuit_knowledge(band, rated(92.0));
  CHECK(known.mean[index_of(P::opens)] == 92.0);
  CHECK(known.mean[index_of(P::span)] == stranger.mean[index_of(P::span)]);
  CHECK(known.covariance[index_of(P::opens)][index_of(P::opens)] <
        stranger.covariance[index_of(P::opens)][index_of(P::opens)] / 4.0);
  CHECK(known.covariance[index_of(P::fan)][index_of(P::fan)] ==
        stranger.covariance[index_of(P::fan)][index_of(P::fan)]);

  NormalBand profiled;
  profiled.opens_c = 76.0;
  CHECK(circuit_knowledge(profiled, {}).mean[index_of(P::opens)] == 76.0);
  CHECK(circuit_knowledge(profiled, rated(92.0)).mean[index_of(P::opens)] == 92.0);
}

TEST_CASE("a rating does not overrule what the drives showed") {
  const CircuitKnowledge knowledge = circuit_knowledge(band_with({}), rated(95.0));
  CHECK(knowledge.mean[index_of(P::opens)] == usual_circuit()[index_of(P::opens)]);
}
