// SPDX-License-Identifier: Apache-2.0
// Drives for tests of the reduced circuit: what it would read itself, and what the independent
// simulator reads.
#pragma once

#include "circuit/reduced_circuit.hpp"
#include "circuit/reduced_run.hpp"
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

inline constexpr Observer k_free_run{std::numeric_limits<double>::infinity(),
                                     std::numeric_limits<double>::infinity()};

/// Puts a reading into a block, in steps of `step_c` (0: 0.01 °C).
inline void show(CircuitBlock& block, double reading_c, double step_c) {
  const double shown_c = step_c > 0.0 ? std::round(reading_c / step_c) * step_c : reading_c;
  block.coolant_cc = static_cast<std::int16_t>(std::lround(100.0 * shown_c));
}

/// Fills in the readings of a free run.
inline void read_off(CircuitDrive& drive, const CircuitValues& circuit, double step_c = 0.0,
                     const ReducedFault& fault = {}) {
  drive.blocks[0].coolant_cc = static_cast<std::int16_t>(
      std::lround(100.0 * fault.shown_c(0.01 * drive.blocks[0].coolant_cc)));
  const auto readings = predict_readings(circuit_inputs({&drive, 1}), circuit, k_free_run, fault);
  for (std::size_t i = 1; i < drive.blocks.size(); ++i) show(drive.blocks[i], readings[i], step_c);
}

/// The same with a fault that comes and goes: `faulty` by block.
inline void read_off_by_turns(CircuitDrive& drive, const CircuitValues& circuit,
                              const ReducedFault& fault, const std::vector<bool>& faulty,
                              double step_c = 0.0) {
  const CircuitInputs inputs = circuit_inputs({&drive, 1});
  const ReducedFault none;
  ReducedRun sound(inputs, circuit, k_free_run, none);
  ReducedRun wrong(inputs, circuit, k_free_run, fault);
  static_cast<void>(sound.foretell(0));
  static_cast<void>(wrong.foretell(0));
  for (std::size_t i = 1; i < drive.blocks.size(); ++i) {
    ReducedRun& now = faulty[i] ? wrong : sound;
    show(drive.blocks[i], now.foretell(i), step_c);
    (faulty[i] ? sound : wrong).set_state(now.state());
  }
}

} // namespace coolband::testing
