// SPDX-License-Identifier: Apache-2.0
// What a sensor shows whose circuit is wrong, and back.
#include "circuit/reduced_fault.hpp"

#include "circuit/sensor.hpp"

#include <algorithm>

namespace coolband {

namespace {

/// A thermistor is believed within its table only.
constexpr double k_coldest_coolant_c = -40.0;
constexpr double k_hottest_coolant_c = 140.0;

} // namespace

double ReducedFault::shown_c(double true_c) const {
  if (series_ohm == 0.0 && leakage_per_ohm == 0.0) return true_c + offset_k;
  const double ohm = thermistor_ohm(true_c);
  return thermistor_c(1.0 / (1.0 / ohm + leakage_per_ohm) + series_ohm) + offset_k;
}

double ReducedFault::true_c(double shown_c) const {
  if (series_ohm == 0.0 && leakage_per_ohm == 0.0) return shown_c - offset_k;
  const double ohm = thermistor_ohm(shown_c - offset_k) - series_ohm;
  const double through = ohm > 0.0 ? 1.0 / ohm - leakage_per_ohm : 0.0;
  // A reading that no such circuit can show: as hot, or as cold, as a coolant may be.
  if (ohm <= 0.0) return k_hottest_coolant_c;
  if (through <= 0.0) return k_coldest_coolant_c;
  return std::clamp(thermistor_c(1.0 / through), k_coldest_coolant_c, k_hottest_coolant_c);
}

} // namespace coolband
