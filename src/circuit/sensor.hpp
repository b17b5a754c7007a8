// SPDX-License-Identifier: Apache-2.0
// What a coolant sensor shows: a thermistor with its lag, its circuit's faults and its resolution.
#pragma once

#include "circuit/fault.hpp"
#include "numeric/splitmix.hpp"

#include <cstdint>

namespace coolband {

/// Resistance of a usual coolant thermistor and its inverse; Steinhart-Hart fitted to a published
/// resistance table, -40..140 °C (common practice, no source).
double thermistor_ohm(double temperature_c);
double thermistor_c(double ohm);

struct Sensor {
  double lag_s = 12.0;
  double resolution_c = 1.0; ///< steps of the reading; 0: none
  double noise_c = 0.0;      ///< standard deviation, before the steps
};

class SensorReading {
 public:
  SensorReading(const Sensor& sensor, double start_c, std::uint64_t seed);
  /// The sensor's own temperature follows the coolant's; in step with the circuit.
  void follow(double coolant_c, const SensorFaults& faults, double step_s);
  /// What would be logged now, °C, within -40..215; NaN for no reading. Draws new noise.
  double shown_c(const SensorFaults& faults);

 private:
  Sensor sensor_;
  double about_c_; ///< of what surrounds the sensor, at the end of the last step
  double sensed_c_;
  double shown_c_;
  SplitMix random_;
};

} // namespace coolband
