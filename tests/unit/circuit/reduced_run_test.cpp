// SPDX-License-Identifier: Apache-2.0
// A new stretch of a log knows nothing of the one before it.
#include "circuit/reduced_circuit.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace coolband;

namespace {

/// Standing with the engine at work, from a warm start; half an hour.
CircuitDrive standing(double start_c) {
  CircuitDrive drive;
  for (std::size_t i = 0; i < 180; ++i) {
    CircuitBlock block;
    block.length_ds = 100;
    block.coolant_cc = static_cast<std::int16_t>(100.0 * start_c);
    block.ambient_dc = 350;
    block.turning = 64;
    block.load = 60;
    block.begins = i == 0;
    block.scored = i > 0;
    drive.blocks.push_back(block);
  }
  return drive;
}

double of(const CircuitValues& circuit, CircuitParameter parameter) {
  return circuit[static_cast<std::size_t>(parameter)];
}

} // namespace

TEST_CASE("the engine's heat passes through its metal, which comes to rest hotter by heat over k") {
  const CircuitValues& circuit = usual_circuit();
  const CircuitDrive drive = standing(80.0); // the reading is held
  const auto inputs = circuit_inputs({&drive, 1});
  const auto metal_c = metal_course(inputs, circuit);
  HeatConditions conditions;
  conditions.coolant_c = 80.0;
  conditions.ambient_c = 35.0;
  conditions.turning = inputs.turning[0];
  conditions.load = inputs.load[0];
  const double rest_k =
      heat_rates(circuit, conditions, 80.0).from_engine / of(circuit, CircuitParameter::metal);
  CHECK(metal_c.back() - 80.0 == doctest::Approx(rest_k).epsilon(1e-6));
  // What comes in comes out, and after one time constant two thirds of it are there.
  CHECK(heat_rates(circuit, conditions, metal_c.back()).from_metal ==
        doctest::Approx(heat_rates(circuit, conditions, 80.0).from_engine).epsilon(1e-6));
  const double lag_s =
      (1.0 - of(circuit, CircuitParameter::near)) / of(circuit, CircuitParameter::metal);
  const auto after = static_cast<std::size_t>(lag_s / 10.0);
  CHECK((metal_c[after] - 80.0) / rest_k == doctest::Approx(1.0 - std::exp(-1.0)).epsilon(0.05));
}

TEST_CASE("a fan that ran in one drive does not run on in the next") {
  const CircuitValues& circuit = usual_circuit();
  const double fan_from_c = circuit[static_cast<std::size_t>(CircuitParameter::opens)] +
                            circuit[static_cast<std::size_t>(CircuitParameter::fan_after)];
  const Observer free_run{1e12};
  // The second begins where a fan that runs goes on, and one at rest does not yet come in.
  const std::vector<CircuitDrive> both{standing(fan_from_c + 15.0), standing(fan_from_c - 1.0)};
  const auto together = predict_readings(circuit_inputs(both), circuit, free_run);
  const auto second = predict_readings(circuit_inputs({&both[1], 1}), circuit, free_run);
  REQUIRE(together.size() == 2 * second.size());
  for (std::size_t i = 1; i < second.size(); ++i)
    CHECK(together[second.size() + i] == doctest::Approx(second[i]).epsilon(1e-12));
}
