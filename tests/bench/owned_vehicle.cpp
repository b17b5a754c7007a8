// SPDX-License-Identifier: Apache-2.0
// Healthy vehicles drawn at random, and what their owners do with them over a year.
#include "bench/owned_vehicle.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <utility>

namespace coolband::testing {
namespace {

bool chance(Random& random, double probability) { return random.between(0.0, 1.0) < probability; }

/// A radiator is sized for a laden climb in heat; here: 10 K to boiling at 35 °C.
bool keeps_cool(const Owned& owned) {
  DrivePlan plan;
  plan.legs = {{LegKind::road, 15.0}, {LegKind::climb, 20.0}, {LegKind::idle, 8.0}};
  plan.ambient_c = 35.0;
  plan.start_c = 60.0;
  plan.extra_mass_kg = owned.payload_kg + owned.trailer_kg;
  const DriveLog log = simulate_drive(owned.vehicle, plan);
  const auto hottest = *std::max_element(log.true_coolant_c.begin(), log.true_coolant_c.end());
  return static_cast<double>(hottest) <= owned.vehicle.boils_c - 10.0;
}

void size_engine(Vehicle& v, Random& random) {
  v.mass_kg = random.between(1000.0, 2800.0);
  v.drag_area_m2 = (0.35 + 0.0003 * v.mass_kg) * random.between(0.85, 1.15);
  v.rated_power_kw = v.mass_kg * random.between(0.036, 0.055);
  v.rated_rpm = random.between(3600.0, 5000.0);
  v.idle_rpm = random.between(650.0, 850.0);
  v.full_heat_kw = v.rated_power_kw * random.between(0.6, 0.75);
  v.engine_kj_per_k = v.rated_power_kw * random.between(1.0, 1.7);
  v.radiator_kj_per_k = v.engine_kj_per_k * random.between(0.11, 0.16);
  v.coolant_kw_per_k = v.full_heat_kw * random.between(0.11, 0.14);
  v.radiator_ua_kw_per_k = v.full_heat_kw * random.between(0.0175, 0.0225);
  v.radiator_area_m2 = v.radiator_ua_kw_per_k * random.between(0.21, 0.25);
  v.heater_kw_per_k = random.between(0.035, 0.05);
  // Surface goes with the heat capacity to the power 2/3; the default has 150 kJ/K.
  v.block_surface = std::cbrt(std::pow(v.engine_kj_per_k / 150.0, 2.0));
}

LegKind everyday_leg(const Owned& owned, Random& random) {
  const double pick = random.between(0.0, 1.0);
  if (pick < owned.town) return LegKind::town;
  return pick < owned.town + owned.motorway ? LegKind::motorway : LegKind::road;
}

/// A climb, and perhaps the way down again.
void add_climb(std::vector<Leg>& legs, Random& random, double minutes) {
  legs.push_back({LegKind::climb, minutes});
  if (chance(random, 0.6)) legs.push_back({LegKind::descent, random.between(0.4, 0.9) * minutes});
}

std::vector<Leg> make_legs(const Owned& owned, Random& random) {
  std::vector<Leg> legs{{LegKind::idle, random.between(0.2, 2.0)}};
  const double minutes = random.between(20.0, 60.0);
  double climb = 0.0;
  if (chance(random, owned.hilly)) climb = std::min(0.4 * minutes, random.between(5.0, 20.0));
  double left = minutes - climb;
  const double climb_at = random.between(0.0, 0.7) * left;
  while (left > 0.0) {
    const double length = std::min(left, random.between(3.0, 15.0));
    legs.push_back({everyday_leg(owned, random), length});
    if (chance(random, owned.standing))
      legs.push_back({LegKind::idle,
                      chance(random, 0.15) ? random.between(5.0, 12.0) : random.between(0.5, 4.0)});
    left -= length;
    if (climb > 0.0 && left <= climb_at) add_climb(legs, random, std::exchange(climb, 0.0));
  }
  return legs;
}

} // namespace

Owned make_owned(Random& random) {
  constexpr std::array<double, 3> k_steps_c{0.0, 0.1, 1.0};
  Owned owned;
  Vehicle& v = owned.vehicle;
  size_engine(v, random);
  v.opens_c = random.between(71.0, 95.0);
  v.span_c = random.between(8.0, 15.0);
  v.hysteresis_k = random.between(0.5, 4.0);
  v.wax_lag_s = random.between(6.0, 20.0);
  v.fan = v.opens_c < 84.0 && chance(random, 0.6) ? FanKind::viscous : FanKind::electric;
  v.fan_air_mps = random.between(3.0, 4.0);
  v.fan_on_c = v.opens_c + v.span_c + random.between(-1.0, 4.0);
  v.fan_off_c = v.fan_on_c - random.between(4.0, 6.0);
  v.boils_c = v.opens_c < 84.0 ? 122.0 : 128.0;
  v.sensor_step_c = k_steps_c[random.below(k_steps_c.size())];
  v.sensor_lag_s = random.between(4.0, 20.0);
  owned.sample_period_s = chance(random, 0.5) ? 1.0 : 2.0;
  owned.payload_kg = v.mass_kg * random.between(0.1, 0.3);
  owned.trailer_kg = chance(random, 0.15) ? v.mass_kg * random.between(0.3, 0.6) : 0.0;
  owned.hilly = random.between(0.0, 0.3);
  owned.standing = random.between(0.05, 0.4);
  owned.town = random.between(0.1, 0.5);
  owned.motorway = random.between(0.05, 0.4);
  for (int i = 0; i < 20 && !keeps_cool(owned); ++i) {
    v.radiator_ua_kw_per_k *= 1.08;
    v.radiator_area_m2 *= 1.08;
  }
  return owned;
}

std::vector<Drive> make_drives(const Owned& owned, Random& random, std::size_t count) {
  std::vector<Drive> drives;
  double week_c = 0.0;
  std::size_t left_in_week = 0;
  while (drives.size() < count) {
    if (left_in_week == 0) {
      week_c = 16.0 + random.between(-12.0, 12.0);
      left_in_week = 1 + random.below(4);
    }
    --left_in_week;
    Drive drive;
    drive.plan.seed = static_cast<std::uint64_t>(random.between(1.0, 1e9));
    drive.plan.legs = make_legs(owned, random);
    drive.plan.ambient_c = std::clamp(week_c + random.between(-4.0, 4.0), 0.0, 32.0);
    const bool rested = chance(random, 0.7);
    drive.plan.start_c = rested ? drive.plan.ambient_c + random.between(0.0, 2.0)
                                : random.between(40.0, owned.vehicle.opens_c);
    drive.plan.altitude_m = random.between(0.0, 800.0);
    drive.plan.extra_mass_kg = random.between(0.0, owned.payload_kg);
    if (chance(random, 0.2)) drive.plan.extra_mass_kg += owned.trailer_kg;
    drive.plan.sample_period_s = owned.sample_period_s;
    drive.heater_use = random.between(0.2, 0.9);
    drives.push_back(std::move(drive));
  }
  return drives;
}

DriveLog drive_it(const Owned& owned, const Drive& drive) {
  Vehicle vehicle = owned.vehicle;
  vehicle.heater_kw_per_k *= drive.heater_use;
  return simulate_drive(vehicle, drive.plan);
}

} // namespace coolband::testing
