// SPDX-License-Identifier: Apache-2.0
// A new stretch of a log knows nothing of the one before it.
#include "circuit/reduced_circuit.hpp"

#include "support/reduced_drives.hpp"

#include <doctest/doctest.h>

#include <bit>
#include <cmath>
#include <cstdint>
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

TEST_CASE("side by side, every vehicle reads to the last bit what it reads alone") {
  // Readings that are missing, two stretches, and a step that is none of 10 s.
  CircuitDrive drive = testing::driven(11, 5.0, 200);
  testing::read_off(drive, usual_circuit());
  drive.blocks[60].coolant_cc = CircuitBlock::k_no_reading;
  drive.blocks[90].begins = true;
  drive.blocks[120].length_ds = 37;
  const auto inputs = circuit_inputs({&drive, 1});
  std::vector<ReducedFault> faults(7);
  faults[1].lift_at_least = 0.4;
  faults[2].lift_at_most = 0.2;
  faults[3].friction = 0.3;
  faults[3].more_hysteresis_k = 4.0;
  faults[4].fan = 0.0;
  faults[4].leak = 0.1;
  faults[5].series_ohm = 300.0;
  faults[6].offset_k = -8.0;
  std::vector<double> gale(inputs.size(), 1.4);
  std::vector<ReducedCase> cases;
  for (std::size_t k = 0; k < faults.size(); ++k) {
    CircuitValues circuit = usual_circuit();
    for (double& value : circuit) value *= 1.0 + 0.01 * static_cast<double>(k);
    cases.push_back({circuit, &faults[k], k % 3 == 2 ? std::span<const double>(gale) : inputs.air});
  }
  for (const Observer& observer : {Observer{}, testing::k_free_run, Observer{300.0, 900.0}}) {
    const auto together = predict_readings(inputs, cases, observer);
    REQUIRE(together.size() == cases.size());
    for (std::size_t k = 0; k < cases.size(); ++k) {
      CircuitInputs own = inputs;
      own.air.assign(cases[k].air.begin(), cases[k].air.end());
      const auto alone = predict_readings(own, cases[k].circuit, observer, faults[k]);
      CAPTURE(k);
      for (std::size_t i = 0; i < alone.size(); ++i)
        CHECK(std::bit_cast<std::uint64_t>(together[k][i]) ==
              std::bit_cast<std::uint64_t>(alone[i]));
    }
  }
  CHECK(predict_readings(inputs, std::span<const ReducedCase>{}).empty());
}
