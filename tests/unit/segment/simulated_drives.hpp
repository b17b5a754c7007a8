// SPDX-License-Identifier: Apache-2.0
// Vehicles, weather and drives drawn at random for the simulator.
#pragma once

#include "coolband/segment/trip.hpp"
#include "support/drive_simulator.hpp"
#include "support/random.hpp"
#include "unit/condition/made_recording.hpp"

#include <cstdint>
#include <string_view>
#include <vector>

namespace coolband::testing {

inline Vehicle drawn_vehicle(Random& random) {
  Vehicle vehicle;
  vehicle.opens_c = random.between(72.0, 92.0);
  vehicle.span_c = random.between(8.0, 15.0);
  vehicle.hysteresis_k = random.between(1.0, 4.0);
  vehicle.wax_lag_s = random.between(6.0, 25.0);
  vehicle.engine_kj_per_k = random.between(90.0, 190.0);
  vehicle.radiator_kj_per_k = random.between(11.0, 22.0);
  vehicle.full_heat_kw = random.between(50.0, 62.0);
  vehicle.sensor_lag_s = random.between(8.0, 18.0);
  vehicle.sensor_step_c = random.between(0.0, 1.0) < 0.7 ? 1.0 : 0.5;
  vehicle.boils_c = 126.0;
  if (random.between(0.0, 1.0) < 0.5) {
    vehicle.fan = FanKind::electric;
    vehicle.fan_on_c = vehicle.opens_c + 14.0;
    vehicle.fan_off_c = vehicle.opens_c + 9.0;
  }
  return vehicle;
}

/// A cold start and half an hour to an hour of anything, in air of -18 to 34 °C; a row every
/// second, every other, or every ten.
inline DrivePlan drawn_plan(Random& random, std::uint64_t seed) {
  constexpr LegKind k_kinds[] = {LegKind::town, LegKind::road,  LegKind::motorway, LegKind::road,
                                 LegKind::town, LegKind::climb, LegKind::descent,  LegKind::idle};
  DrivePlan plan;
  plan.seed = seed;
  plan.ambient_c = random.between(-18.0, 34.0);
  plan.start_c = plan.ambient_c;
  const double pace = random.between(0.0, 1.0);
  plan.sample_period_s = pace < 0.5 ? 1.0 : (pace < 0.75 ? 2.0 : 10.0);
  plan.legs = {{LegKind::idle, random.between(0.3, 4.0)}};
  for (double left = random.between(30.0, 60.0); left > 0.0;) {
    const LegKind kind = k_kinds[random.below(std::size(k_kinds))];
    const double minutes =
        kind == LegKind::town || kind == LegKind::road || kind == LegKind::motorway
            ? random.between(3.0, 14.0)
            : random.between(2.0, 8.0);
    plan.legs.push_back({kind, minutes});
    left -= minutes;
  }
  return plan;
}

/// Coolant and air always; `columns` adds l(oad), r(pm), s(peed).
inline Trip trip_of(const DriveLog& log, std::string_view columns = "lrs") {
  Recording recording =
      made_recording(std::vector<double>(log.time_s.begin(), log.time_s.end()), log.coolant_c);
  recording.column(Role::ambient) = log.ambient_c;
  const auto has = [&](char column) { return columns.find(column) != std::string_view::npos; };
  if (has('l')) recording.column(Role::load) = log.load_pct;
  if (has('r')) recording.column(Role::rpm) = log.rpm;
  if (has('s')) recording.column(Role::speed) = log.speed_kmh;
  return find_trips(recording, condition(recording)).front();
}

} // namespace coolband::testing
