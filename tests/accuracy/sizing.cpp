// SPDX-License-Identifier: Apache-2.0
// Tries a drive in heat, enlarges, and tries again.
#include "accuracy/sizing.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace coolband::accuracy {
namespace {

/// Hottest true coolant of a drive, and whether it boiled.
struct Extreme {
  double hottest_c = 0.0;
  bool boiled = false;
};

Extreme extreme_of(const DrawnVehicle& vehicle, double ambient_c, std::vector<RoutePhase> route) {
  Scenario scenario;
  scenario.circuit = vehicle.circuit;
  scenario.body = vehicle.body;
  scenario.weather.ambient_c = ambient_c;
  scenario.start_c = 70.0;
  scenario.route = std::move(route);
  scenario.logging.period_s = 10.0;
  Extreme extreme;
  (void)simulate(scenario, [&](const SimulatedRow& row) {
    extreme.hottest_c = std::max(extreme.hottest_c, row.truth.coolant_c);
    extreme.boiled = row.truth.boiled_l > 0.0;
  });
  return extreme;
}

RoutePhase stretch(RouteKind kind, double minutes) {
  RoutePhase phase;
  phase.kind = kind;
  phase.minutes = minutes;
  return phase;
}

} // namespace

void size_radiator(DrawnVehicle& vehicle, Random& random) {
  const double made_for_c = random.between(45.0, 50.0);
  CircuitParameters& c = vehicle.circuit;
  RoutePhase climb = stretch(RouteKind::climb, 20.0);
  climb.trailer_kg = vehicle.tows_kg;
  if (vehicle.heavy) climb.grade_pct = 6.0;
  const double idle_limit_c =
      c.fan == FanDrive::electric ? c.fan_on_c + 3.0 : c.opens_c + c.span_k + 8.0;
  for (int tries = 0; tries < 40; ++tries) {
    const bool climbs =
        !extreme_of(vehicle, made_for_c, {climb, stretch(RouteKind::idle, 2.0)}).boiled;
    const bool stands =
        extreme_of(vehicle, 42.0, {stretch(RouteKind::idle, 30.0)}).hottest_c <= idle_limit_c;
    if (climbs && stands) return;
    c.radiator_ua_kw_per_k *= 1.06;
    c.radiator_face_m2 *= 1.04;
    if (!stands) c.fan_air_mps *= 1.06;
  }
}

} // namespace coolband::accuracy
