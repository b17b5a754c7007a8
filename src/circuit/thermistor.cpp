// SPDX-License-Identifier: Apache-2.0
// Steinhart-Hart and its inverse.
#include "circuit/sensor.hpp"

#include "circuit/kelvin.hpp"
#include "core/portable_math.hpp"

#include <cmath>

namespace coolband {

namespace {

// Fitted to a published table, -40..140 °C, greatest error 0.012 K (common practice, no source).
constexpr double k_a = 1.33596535e-3;
constexpr double k_b = 2.55994278e-4;
constexpr double k_c = 1.50659264e-7;

} // namespace

// x = ln R is the one real root of c x^3 + b x + (a - 1/T) = 0 (Cardano), b/c being positive.
double thermistor_ohm(double temperature_c) {
  const double half = (k_a - 1.0 / (temperature_c + k_celsius_zero_k)) / (2.0 * k_c);
  const double third = k_b / (3.0 * k_c);
  const double root = std::sqrt(half * half + third * third * third);
  return portable_exp(std::cbrt(root - half) - std::cbrt(root + half));
}

double thermistor_c(double ohm) {
  const double x = portable_log(ohm);
  return 1.0 / (k_a + k_b * x + k_c * x * x * x) - k_celsius_zero_k;
}

} // namespace coolband
