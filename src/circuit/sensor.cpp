// SPDX-License-Identifier: Apache-2.0
// From the coolant's temperature to the number in the log.
#include "circuit/sensor.hpp"

#include "circuit/lag.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace coolband {

namespace {

// What SAE J1979 can tell of the coolant: one byte less 40.
constexpr double k_least_shown_c = -40.0;
constexpr double k_most_shown_c = 215.0;

/// About normal, mean 0, deviation 1: twelve uniform numbers less 6. Sums round alike everywhere.
double about_normal(SplitMix& random) {
  double sum = -6.0;
  for (int i = 0; i < 12; ++i) sum += random.share();
  return sum;
}

double through_wires(double sensed_c, const SensorFaults& faults) {
  if (faults.series_ohm == 0.0 && std::isinf(faults.leakage_ohm)) return sensed_c;
  const double own = thermistor_ohm(sensed_c);
  return thermistor_c(1.0 / (1.0 / own + 1.0 / faults.leakage_ohm) + faults.series_ohm);
}

} // namespace

SensorReading::SensorReading(const Sensor& sensor, double start_c, std::uint64_t seed)
    : sensor_(sensor), about_c_(start_c), sensed_c_(start_c), shown_c_(start_c), random_(seed) {}

void SensorReading::follow(double coolant_c, const SensorFaults& faults, double step_s) {
  const double about_c = coolant_c - faults.uncovered_k;
  const double lag_s = sensor_.lag_s * faults.lag_factor;
  // The mean of both ends of the step: a steady rise is followed exactly lag x rate behind.
  const double mean_c = 0.5 * (about_c_ + about_c);
  sensed_c_ = lag_s > 0.0 ? sensed_c_ + (mean_c - sensed_c_) * lag_share(step_s, lag_s) : about_c;
  about_c_ = about_c;
}

double SensorReading::shown_c(const SensorFaults& faults) {
  // Drawn whether it shows or not: a fault leaves the rest of the drive's noise as it was.
  const double noise_c = sensor_.noise_c > 0.0 ? sensor_.noise_c * about_normal(random_) : 0.0;
  if (faults.no_reading) return std::numeric_limits<double>::quiet_NaN();
  if (faults.open_circuit) return k_least_shown_c;
  if (faults.frozen) return shown_c_;
  double told_c = through_wires(sensed_c_, faults) + faults.offset_k + noise_c;
  const double step_c = sensor_.resolution_c;
  if (step_c > 0.0) told_c = std::floor(told_c / step_c + 0.5) * step_c;
  shown_c_ = std::clamp(told_c, k_least_shown_c, k_most_shown_c);
  return shown_c_;
}

} // namespace coolband
