// SPDX-License-Identifier: Apache-2.0
// Trips that the reduced circuit drives itself, and what is known of the vehicle beforehand.
#pragma once

#include "coolband/segment/trip.hpp"
#include "diagnose/circuit_evidence.hpp"
#include "support/reduced_drives.hpp"

#include <cmath>
#include <cstdint>
#include <vector>

namespace coolband::testing {

/// Bounds within which a leg's driving changes every half minute or so.
struct DrivenLeg {
  std::size_t minutes = 0;
  double slowest_kmh = 0.0;
  double fastest_kmh = 0.0;
  double least_load_pct = 0.0;
  double most_load_pct = 0.0;
};
inline constexpr DrivenLeg town(std::size_t minutes) { return {minutes, 0.0, 50.0, 15.0, 55.0}; }
inline constexpr DrivenLeg road(std::size_t minutes) { return {minutes, 60.0, 95.0, 25.0, 50.0}; }
inline constexpr DrivenLeg motorway(std::size_t minutes) {
  return {minutes, 110.0, 130.0, 45.0, 65.0};
}
inline constexpr DrivenLeg climb(std::size_t minutes) { return {minutes, 35.0, 60.0, 70.0, 90.0}; }
inline constexpr DrivenLeg standing(std::size_t minutes) { return {minutes, 0.0, 0.0, 15.0, 20.0}; }

/// An hour and a quarter with everything in it.
inline const std::vector<DrivenLeg>& ordinary_legs() {
  static const std::vector<DrivenLeg> legs{town(10),  road(15), standing(8), motorway(15),
                                           climb(10), town(10), standing(8)};
  return legs;
}

/// A start from cold; the readings are still missing.
inline CircuitDrive driven_legs(std::uint64_t seed, double ambient_c,
                                const std::vector<DrivenLeg>& legs) {
  Random random(seed);
  CircuitDrive drive;
  drive.saw_load = drive.saw_turning = drive.saw_speed = drive.saw_ambient = true;
  for (const DrivenLeg& leg : legs) {
    CircuitBlock block;
    for (std::size_t i = 0; i < 6 * leg.minutes; ++i) {
      if (i % 3 == 0) {
        const double kmh = random.between(leg.slowest_kmh, leg.fastest_kmh);
        const double load_pct = random.between(leg.least_load_pct, leg.most_load_pct);
        const double rpm = leg.most_load_pct > 80.0 ? 2600.0 : std::max(800.0, 600.0 + 18.0 * kmh);
        block.speed_kmh = static_cast<std::uint8_t>(kmh);
        block.load = static_cast<std::uint8_t>(2.0 * load_pct);
        block.turning = static_cast<std::uint8_t>(64.0 * rpm / 2000.0);
      }
      block.length_ds = 100;
      block.ambient_dc = static_cast<std::int16_t>(10.0 * ambient_c);
      block.coolant_cc = static_cast<std::int16_t>(100.0 * ambient_c);
      block.begins = drive.blocks.empty();
      block.scored = !block.begins;
      drive.blocks.push_back(block);
    }
  }
  return drive;
}

/// The drive as blocks of a log.
inline Blocks blocks_of(const CircuitDrive& drive) {
  Blocks blocks;
  for (std::size_t i = 0; i < drive.blocks.size(); ++i) {
    const CircuitBlock& block = drive.blocks[i];
    blocks.start_s.push_back(10.0 * static_cast<double>(i));
    blocks.end_s.push_back(10.0 * static_cast<double>(i) + 10.0);
    blocks.coolant.push_back(0.01F * static_cast<float>(block.coolant_cc));
    blocks.ambient.push_back(0.1F * static_cast<float>(block.ambient_dc));
    blocks.load.push_back(0.5F * static_cast<float>(block.load));
    blocks.speed.push_back(static_cast<float>(block.speed_kmh));
    blocks.rpm.push_back(2000.0F / 64.0F * static_cast<float>(block.turning));
    blocks.altitude.push_back(100.0F);
    blocks.first_row.push_back(i);
    blocks.last_row.push_back(i);
    blocks.phase.push_back(Phase::warm);
  }
  blocks.load_lagged = blocks.load;
  return blocks;
}

/// The usual circuit, as a dozen drives tell it.
inline CircuitKnowledge known_vehicle() {
  NormalBand band;
  FittedCircuit circuit;
  circuit.misfit_k = 0.9;
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) {
    const double value = usual_circuit()[p];
    const bool opens = static_cast<CircuitParameter>(p) == CircuitParameter::opens;
    circuit.values[p].value = value;
    circuit.values[p].low = opens ? value - 1.0 : value * 0.8;
    circuit.values[p].high = opens ? value + 1.0 : value * 1.25;
  }
  band.circuit = circuit;
  return circuit_knowledge(band, {});
}

} // namespace coolband::testing
