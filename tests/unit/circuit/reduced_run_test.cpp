// SPDX-License-Identifier: Apache-2.0
// A new stretch of a log knows nothing of the one before it.
#include "circuit/reduced_circuit.hpp"

#include <doctest/doctest.h>

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

} // namespace

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
