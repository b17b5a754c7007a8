// SPDX-License-Identifier: Apache-2.0
// A count of dips against the normal drives' rate.
#include "diagnose/usual_dips.hpp"

#include <cmath>

namespace coolband {

namespace {

/// No thermostat in common use has begun to open here, °C: the coolest do so from 71 °C on.
constexpr double k_always_shut_c = 60.0;
/// Φ⁻¹(0.99)
constexpr double k_once_in_a_hundred = 2.3263478740408408;

} // namespace

double shut_below_c(const NormalBand& band) {
  if (band.opens_c) return *band.opens_c - k_shut_below_opening_k;
  if (band.origin == BandOrigin::trip) return k_always_shut_c;
  return band.centre_c - k_shut_below_level_k;
}

bool more_than_usual(const Dips& dips, const NormalBand& band) {
  const auto& usual = band.traits.dips_per_h;
  if (!usual) return dips.warm > 0;
  const double hours = dips.warm_s / 3600.0;
  const double expected = usual->value * hours;
  // A count varies by its own root, and the rate from drive to drive.
  const double error = std::sqrt(expected + usual->scatter * usual->scatter * hours * hours +
                                 usual->error * usual->error * hours * hours);
  return static_cast<double>(dips.warm) > expected + k_once_in_a_hundred * error;
}

} // namespace coolband
