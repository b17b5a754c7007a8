// SPDX-License-Identifier: Apache-2.0
// The fit finds the circuit that made the readings, says what it could not find, and does not mind
// the order of the drives.
#include "circuit/fit_circuit.hpp"

#include "circuit/circuit_prior.hpp"
#include "support/reduced_drives.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace coolband;
using namespace coolband::testing;

namespace {

using P = CircuitParameter;

CircuitValues with(P parameter, double value) {
  CircuitValues circuit = usual_circuit();
  circuit[static_cast<std::size_t>(parameter)] = value;
  return circuit;
}

std::vector<CircuitDrive> drives_of(const CircuitValues& circuit, std::size_t count,
                                    double step_c = 1.0) {
  std::vector<CircuitDrive> drives;
  for (std::size_t d = 0; d < count; ++d) {
    drives.push_back(driven(100 + d, 5.0 * static_cast<double>(d), 240));
    read_off(drives.back(), circuit, step_c);
  }
  return drives;
}

} // namespace

TEST_CASE("parameters far from the usual are found from readings in 1 °C steps") {
  for (const double opens_c : {72.0, 88.0, 95.0}) {
    const auto fitted = fit_circuit(drives_of(with(P::opens, opens_c), 5));
    REQUIRE(fitted);
    CHECK((*fitted)[P::opens].identified);
    CHECK((*fitted)[P::opens].value == doctest::Approx(opens_c).epsilon(0.015));
  }
  for (const auto& one : {std::pair{P::idle_heat, 1.8}, std::pair{P::load_heat, 0.6},
                          std::pair{P::hysteresis, 2.0}}) {
    const auto parameter = one.first;
    const double made = one.second * usual_circuit()[static_cast<std::size_t>(parameter)];
    const auto fitted = fit_circuit(drives_of(with(parameter, made), 5));
    REQUIRE(fitted);
    CAPTURE(name_of(parameter));
    CHECK((*fitted)[parameter].identified);
    CHECK((*fitted)[parameter].value == doctest::Approx(made).epsilon(0.2));
  }
}

TEST_CASE("much play in a valve is found as well as little, whatever lies between") {
  for (const double play_k : {1.0, 3.0, 5.5}) {
    const auto fitted = fit_circuit(drives_of(with(P::hysteresis, play_k), 8, 0.1));
    REQUIRE(fitted);
    CAPTURE(play_k);
    CHECK((*fitted)[P::hysteresis].value == doctest::Approx(play_k).epsilon(0.2));
  }
}

TEST_CASE("what the drives do not show keeps its usual value and is not called identified") {
  // Engines that never get warm tell nothing of the thermostat.
  std::vector<CircuitDrive> cold;
  for (std::uint64_t seed = 1; seed < 5; ++seed) {
    cold.push_back(driven(seed, 0.0, 130));
    for (CircuitBlock& block : cold.back().blocks) block.load = 20;
    read_off(cold.back(), usual_circuit(), 1.0);
  }
  const auto fitted = fit_circuit(cold);
  REQUIRE(fitted);
  for (const P parameter : {P::opens, P::span, P::flow, P::hysteresis, P::still_air}) {
    const CircuitValue& value = (*fitted)[parameter];
    CAPTURE(name_of(parameter));
    CHECK_FALSE(value.identified);
    CHECK(value.low < usual_circuit()[static_cast<std::size_t>(parameter)]);
    CHECK(value.high > usual_circuit()[static_cast<std::size_t>(parameter)]);
  }
  // The load never changed: its heat cannot be told from that of idling, but the warm-up shows.
  CHECK_FALSE((*fitted)[P::load_heat].identified);
  CHECK((*fitted)[P::metal].identified);
}

TEST_CASE("one drive with a wrong sensor among six hardly moves the fit") {
  const auto sound = drives_of(usual_circuit(), 6);
  auto spoilt = sound;
  for (CircuitBlock& block : spoilt[2].blocks)
    if (block.coolant_cc > 3000) block.coolant_cc = 3000; // froze at 30 °C
  const auto before = fit_circuit(sound);
  const auto after = fit_circuit(spoilt);
  REQUIRE(before);
  REQUIRE(after);
  CHECK(std::abs((*after)[P::opens].value - (*before)[P::opens].value) < 1.0);
}

TEST_CASE("more drives narrow the limits, and their order does not matter") {
  auto drives = drives_of(usual_circuit(), 6);
  const auto all = fit_circuit(drives);
  const auto few = fit_circuit(std::span(drives).first(2));
  std::reverse(drives.begin(), drives.end());
  const auto turned = fit_circuit(drives);
  REQUIRE(all);
  REQUIRE(few);
  REQUIRE(turned);
  const auto width = [](const CircuitValue& value) { return value.high - value.low; };
  CHECK(width((*all)[P::opens]) < width((*few)[P::opens]));
  for (std::size_t p = 0; p < k_circuit_parameters; ++p)
    CHECK(turned->values[p].value == doctest::Approx(all->values[p].value).epsilon(1e-3));
}

TEST_CASE("too little to go on gives no fit") {
  CHECK_FALSE(fit_circuit({}));
  const auto shortest = driven(1, 20.0, 40);
  CHECK_FALSE(fit_circuit({&shortest, 1}));
}

TEST_CASE("odd blocks, as a damaged band file may hold them, do no harm") {
  auto drives = drives_of(usual_circuit(), 2);
  for (std::size_t i = 0; i < drives[0].blocks.size(); i += 3) {
    drives[0].blocks[i].length_ds = static_cast<std::uint16_t>(i % 2 == 0 ? 0 : 65535);
    drives[0].blocks[i].coolant_cc = static_cast<std::int16_t>(i % 4 == 0 ? -32768 : 32767);
  }
  const auto fitted = fit_circuit(drives);
  REQUIRE(fitted);
  for (const CircuitValue& value : fitted->values) {
    CHECK(std::isfinite(value.value));
    CHECK(std::isfinite(value.low));
    CHECK(std::isfinite(value.high));
  }
}
