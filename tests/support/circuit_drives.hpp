// SPDX-License-Identifier: Apache-2.0
// Drives the thermal circuit through steady or changing operation, and sums up what came of it.
#pragma once

#include "circuit/circuit.hpp"
#include "circuit/fault.hpp"
#include "circuit/sensor.hpp"
#include "support/random.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <limits>
#include <vector>

namespace coolband::testing {

inline Operation operation_of(double load, double rpm, double speed_mps, double ambient_c = 20.0) {
  Operation operation;
  operation.load = load;
  operation.rpm = rpm;
  operation.speed_mps = speed_mps;
  operation.ambient_c = ambient_c;
  return operation;
}

inline Operation idling(double ambient_c = 20.0) { return operation_of(0.17, 760, 0, ambient_c); }
inline Operation on_road(double ambient_c = 20.0) {
  return operation_of(0.35, 1750, 17, ambient_c);
}
inline Operation on_motorway(double ambient_c = 20.0) {
  return operation_of(0.5, 2450, 30, ambient_c);
}
inline Operation climbing(double ambient_c = 20.0) {
  return operation_of(0.85, 2500, 13, ambient_c);
}
inline Operation parked(double ambient_c = 20.0) {
  Operation operation = operation_of(0, 0, 0, ambient_c);
  operation.running = false;
  return operation;
}

/// By the time since the start.
using Driving = std::function<Operation(double time_s)>;

inline Driving always(const Operation& operation) {
  return [operation](double) { return operation; };
}

/// Something else every 20 to 90 s: town, road, climbs, stops, the engine off now and then; the
/// same for the same seed.
inline Driving mixed(std::uint64_t seed, double ambient_c = 20.0) {
  Random random(seed);
  std::vector<std::pair<double, Operation>> pieces;
  for (double until_s = 0.0; until_s < 20000.0;) {
    until_s += random.between(20.0, 90.0);
    Operation operation = operation_of(random.between(0.0, 0.9), random.between(800.0, 3400.0),
                                       random.between(0.0, 33.0), ambient_c);
    if (random.between(0.0, 1.0) < 0.2) operation = idling(ambient_c);
    if (random.between(0.0, 1.0) < 0.05) operation = parked(ambient_c);
    operation.heater = random.between(0.0, 1.0) < 0.3 ? 1.0 : 0.0;
    operation.outside_kpa = random.between(60.0, 102.0);
    pieces.emplace_back(until_s, operation);
  }
  return [pieces](double time_s) {
    const auto later = [](double t, const auto& piece) { return t < piece.first; };
    const auto found = std::upper_bound(pieces.begin(), pieces.end(), time_s, later);
    return found == pieces.end() ? pieces.back().second : found->second;
  };
}

/// A drive's end and, from `settled_s` on, its temperatures.
struct Outcome {
  CircuitState end;
  HeatFlows flows; ///< of the last step
  HeatLedger ledger;
  double warm_s = std::numeric_limits<double>::infinity(); ///< coolant first at 76 °C
  double mean_c = 0.0;
  double lowest_c = std::numeric_limits<double>::infinity();
  double highest_c = -std::numeric_limits<double>::infinity();
  double mean_lift = 0.0;
  std::vector<double> shown_c; ///< each second, the whole drive
  std::vector<double> true_c;  ///< likewise
};

struct CircuitTrip {
  CircuitParameters parameters = {};
  std::vector<FaultPlan> faults = {};
  double start_c = 20.0;
  double minutes = 60.0;
  double settled_s = 1800.0;
  Sensor sensor = {};
};

inline Outcome driven(const CircuitTrip& trip, const Driving& driving) {
  constexpr double k_step_s = 0.5;
  Circuit circuit(trip.parameters, trip.start_c);
  FaultCourse faults(trip.faults, 11);
  SensorReading sensor(trip.sensor, trip.start_c, 5);
  Outcome outcome;
  int settled = 0;
  const int steps = static_cast<int>(trip.minutes * 60.0 / k_step_s);
  for (int i = 0; i < steps; ++i) {
    const double time_s = i * k_step_s;
    faults.go_to(time_s);
    circuit.step(driving(time_s), faults.circuit(), k_step_s);
    const CircuitState& state = circuit.state();
    sensor.follow(state.coolant_c, faults.sensor(), k_step_s);
    if (i % 2 == 1) {
      outcome.shown_c.push_back(sensor.shown_c(faults.sensor()));
      outcome.true_c.push_back(state.coolant_c);
    }
    if (state.coolant_c >= 76.0) outcome.warm_s = std::min(outcome.warm_s, time_s + k_step_s);
    if (time_s < trip.settled_s) continue;
    ++settled;
    outcome.mean_c += state.coolant_c;
    outcome.mean_lift += state.lift;
    outcome.lowest_c = std::min(outcome.lowest_c, state.coolant_c);
    outcome.highest_c = std::max(outcome.highest_c, state.coolant_c);
  }
  outcome.mean_c /= std::max(settled, 1);
  outcome.mean_lift /= std::max(settled, 1);
  outcome.end = circuit.state();
  outcome.flows = circuit.flows();
  outcome.ledger = circuit.ledger();
  return outcome;
}

} // namespace coolband::testing
