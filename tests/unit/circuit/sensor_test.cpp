// SPDX-License-Identifier: Apache-2.0
// The sensor's lag, steps, noise and faults.
#include "circuit/sensor.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace coolband;

namespace {

Sensor plain(double lag_s = 12.0) {
  Sensor sensor;
  sensor.lag_s = lag_s;
  sensor.resolution_c = 0.0;
  return sensor;
}

/// The reading after `seconds` in coolant of `coolant_c`.
double shown_after(const Sensor& sensor, double seconds, double coolant_c,
                   const SensorFaults& faults = {}) {
  SensorReading reading(sensor, 20.0, 3);
  for (double t = 0.0; t < seconds; t += 0.5) reading.follow(coolant_c, faults, 0.5);
  return reading.shown_c(faults);
}

} // namespace

TEST_CASE("a thermistor and its inverse") {
  for (double c = -40.0; c <= 150.0; c += 1.0)
    CHECK(thermistor_c(thermistor_ohm(c)) == doctest::Approx(c).epsilon(1e-9));
}

TEST_CASE("the reading lags by its time constant") {
  CHECK(shown_after(plain(), 12.0, 120.0) ==
        doctest::Approx(20.0 + 100.0 * (1.0 - std::exp(-1.0))).epsilon(0.02));
  CHECK(shown_after(plain(), 300.0, 120.0) == doctest::Approx(120.0));
  CHECK(shown_after(plain(0.0), 0.5, 90.0) == 90.0);
  SensorFaults slow;
  slow.lag_factor = 5.0;
  CHECK(shown_after(plain(), 60.0, 120.0, slow) ==
        doctest::Approx(shown_after(plain(60.0), 60.0, 120.0)));
}

TEST_CASE("the reading goes in steps and stays within what one byte can tell") {
  Sensor sensor;
  CHECK(shown_after(sensor, 600.0, 79.4) == 79.0);
  CHECK(shown_after(sensor, 600.0, 79.6) == 80.0);
  sensor.resolution_c = 0.5;
  CHECK(shown_after(sensor, 600.0, 79.6) == 79.5);
  CHECK(shown_after(sensor, 600.0, 400.0) == 215.0);
  CHECK(shown_after(sensor, 600.0, -70.0) == -40.0);
}

TEST_CASE("noise has its deviation, no bias, and comes again with the seed") {
  Sensor sensor = plain();
  sensor.noise_c = 0.5;
  SensorReading first(sensor, 80.0, 7);
  SensorReading again(sensor, 80.0, 7);
  SensorReading other(sensor, 80.0, 8);
  double sum = 0.0;
  double squares = 0.0;
  int differ = 0;
  constexpr int k_count = 20000;
  for (int i = 0; i < k_count; ++i) {
    const double shown = first.shown_c({});
    CHECK(shown == again.shown_c({}));
    differ += shown != other.shown_c({}) ? 1 : 0;
    sum += shown - 80.0;
    squares += (shown - 80.0) * (shown - 80.0);
  }
  CHECK(differ > k_count / 2);
  CHECK(std::abs(sum / k_count) < 4.0 * 0.5 / std::sqrt(k_count)); // four standard errors
  CHECK(std::sqrt(squares / k_count) == doctest::Approx(0.5).epsilon(0.03));
}

TEST_CASE("no reading, open circuit, frozen, offset, gas about the sensor") {
  SensorReading reading(plain(), 80.0, 3);
  SensorFaults faults;
  CHECK(reading.shown_c(faults) == 80.0);
  faults.no_reading = true;
  CHECK(std::isnan(reading.shown_c(faults)));
  faults = {};
  faults.open_circuit = true;
  CHECK(reading.shown_c(faults) == -40.0);
  faults = {};
  faults.offset_k = 6.0;
  CHECK(reading.shown_c(faults) == 86.0);
  faults = {};
  faults.frozen = true;
  for (int i = 0; i < 100; ++i) reading.follow(95.0, faults, 0.5);
  CHECK(reading.shown_c(faults) == 86.0); // the last that was shown
  CHECK(reading.shown_c({}) > 94.0);
  faults = {};
  faults.uncovered_k = 15.0;
  for (int i = 0; i < 1000; ++i) reading.follow(95.0, faults, 0.5);
  CHECK(reading.shown_c(faults) == doctest::Approx(80.0));
}

TEST_CASE("resistance in the lead reads cold when hot, leakage warm when cold") {
  SensorFaults series;
  series.series_ohm = 100.0;
  SensorFaults leakage;
  leakage.leakage_ohm = 2000.0;
  const double hot_loss = 90.0 - shown_after(plain(), 600.0, 90.0, series);
  const double cold_loss = 20.0 - shown_after(plain(), 600.0, 20.0, series);
  CHECK(hot_loss > 10.0 * cold_loss);
  CHECK(cold_loss > 0.0);
  const double hot_gain = shown_after(plain(), 600.0, 90.0, leakage) - 90.0;
  const double cold_gain = shown_after(plain(), 600.0, 20.0, leakage) - 20.0;
  CHECK(cold_gain > 4.0 * hot_gain);
  CHECK(hot_gain > 0.0);
}
