// SPDX-License-Identifier: Apache-2.0
// The stretch of the boiling curve that was asked last is kept.
#include "circuit/boiling.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

constexpr double k_apart_kpa = 2.0;

// Circuits are made of parameters that were found valid, so the mix is on the table.
double boils_c(const CoolantMix& mix, double pressure_kpa) {
  const Result<double> boils = boiling_point_c(mix, pressure_kpa);
  return boils ? boils.value() : water_saturation_temperature_c(pressure_kpa);
}

} // namespace

double BoilingCurve::at(double pressure_kpa) {
  const double pressure = std::clamp(pressure_kpa, 20.0, 900.0);
  if (!(from_kpa_ > 0.0 && pressure >= from_kpa_ && pressure <= from_kpa_ + k_apart_kpa)) {
    from_kpa_ = k_apart_kpa * std::floor(pressure / k_apart_kpa);
    from_c_ = boils_c(mix_, from_kpa_);
    to_c_ = boils_c(mix_, from_kpa_ + k_apart_kpa);
  }
  return from_c_ + (to_c_ - from_c_) * (pressure - from_kpa_) / k_apart_kpa;
}

} // namespace coolband
