// SPDX-License-Identifier: Apache-2.0
// Drives for tests of the reduced circuit: what it would read itself, and what the independent
// simulator reads.
#pragma once

#include "circuit/reduced_circuit.hpp"
#include "support/random.hpp"

#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

namespace coolband::testing {

/// A cold start, then changing load, engine and road speed; the readings are still missing.
inline CircuitDrive driven(std::uint64_t seed, double ambient_c, std::size_t blocks) {
  Random random(seed);
  CircuitDrive drive;
  drive.saw_load = drive.saw_turning = drive.saw_speed = drive.saw_ambient = true;
  CircuitBlock block;
  for (std::size_t i = 0; i < blocks; ++i) {
    if (i % 9 == 0) {
      block.turning = static_cast<std::uint8_t>(random.between(30.0, 90.0));
      block.load = static_cast<std::uint8_t>(random.between(30.0, 170.0));
      block.speed_kmh = static_cast<std::uint8_t>(random.between(0.0, 110.0));
    }
    block.length_ds = 100;
    block.ambient_dc = static_cast<std::int16_t>(10.0 * ambient_c);
    block.coolant_cc = static_cast<std::int16_t>(100.0 * ambient_c);
    block.begins = i == 0;
    block.scored = i > 0;
    drive.blocks.push_back(block);
  }
  return drive;
}

/// Fills in the readings of a free run, in steps of `step_c` (0: 0.01 °C).
inline void read_off(CircuitDrive& drive, const CircuitValues& circuit, double step_c = 0.0) {
  const auto readings = predict_readings(circuit_inputs({&drive, 1}), circuit,
                                         {std::numeric_limits<double>::infinity()});
  for (std::size_t i = 1; i < drive.blocks.size(); ++i) {
    const double shown_c = step_c > 0.0 ? std::round(readings[i] / step_c) * step_c : readings[i];
    drive.blocks[i].coolant_cc = static_cast<std::int16_t>(std::lround(100.0 * shown_c));
  }
}

} // namespace coolband::testing
