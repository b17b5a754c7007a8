// SPDX-License-Identifier: Apache-2.0
// Air pressure over altitude and the saturation line of water.
#include "coolband/circuit/coolant_fluid.hpp"

#include "circuit/kelvin.hpp"
#include "core/portable_math.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

// IAPWS R7-97(2012), table 34: n1..n10 at 0..9.
constexpr std::array<double, 10> k_n{0.11670521452767e4,  -0.72421316703206e6, -0.17073846940092e2,
                                     0.12020824702470e5,  -0.32325550322333e7, 0.14915108613530e2,
                                     -0.48232657361591e4, 0.40511340542057e6,  -0.23855557567849,
                                     0.65017534844798e3};

// The ends of the line: the melting point at 273.15 K and the critical point.
constexpr double k_lowest_c = 0.0;
constexpr double k_highest_c = 647.096 - k_celsius_zero_k;
constexpr double k_lowest_kpa = 0.611213;
constexpr double k_highest_kpa = 22064.0;

} // namespace

double atmospheric_pressure_kpa(double altitude_m) {
  constexpr double k_lapse_k_per_m = 0.0065;
  constexpr double k_sea_level_k = 288.15;
  constexpr double k_exponent = 9.80665 / (287.05287 * k_lapse_k_per_m);
  const double height_m = std::clamp(altitude_m, -2000.0, 11000.0);
  return 101.325 * portable_pow(1.0 - k_lapse_k_per_m * height_m / k_sea_level_k, k_exponent);
}

double geopotential_altitude_m(double geometric_m) {
  constexpr double k_earth_m = 6356766.0;
  return k_earth_m * geometric_m / (k_earth_m + geometric_m);
}

double water_saturation_pressure_kpa(double temperature_c) {
  const double t = std::clamp(temperature_c, k_lowest_c, k_highest_c) + k_celsius_zero_k;
  const double theta = t + k_n[8] / (t - k_n[9]);
  const double a = theta * (theta + k_n[0]) + k_n[1];
  const double b = theta * (k_n[2] * theta + k_n[3]) + k_n[4];
  const double c = theta * (k_n[5] * theta + k_n[6]) + k_n[7];
  const double root = 2.0 * c / (-b + std::sqrt(b * b - 4.0 * a * c));
  return 1000.0 * root * root * root * root;
}

double water_saturation_temperature_c(double pressure_kpa) {
  const double p = std::clamp(pressure_kpa, k_lowest_kpa, k_highest_kpa) / 1000.0;
  const double beta = std::sqrt(std::sqrt(p));
  const double e = beta * (beta + k_n[2]) + k_n[5];
  const double f = beta * (k_n[0] * beta + k_n[3]) + k_n[6];
  const double g = beta * (k_n[1] * beta + k_n[4]) + k_n[7];
  const double d = 2.0 * g / (-f - std::sqrt(f * f - 4.0 * e * g));
  const double sum = k_n[9] + d;
  return 0.5 * (sum - std::sqrt(sum * sum - 4.0 * (k_n[8] + k_n[9] * d))) - k_celsius_zero_k;
}

} // namespace coolband
