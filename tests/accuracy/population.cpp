// SPDX-License-Identifier: Apache-2.0
// The ranges that vehicles are drawn from, each with its source.
#include "accuracy/population.hpp"

#include "accuracy/sizing.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband::accuracy {
namespace {

struct Bounds {
  double low;
  double high;
};

double in(Random& random, Bounds bounds) { return random.between(bounds.low, bounds.high); }

/// Size, gearing and shape: common practice, no source. Heat into the coolant per brake power at
/// full load: Heywood, Internal Combustion Engine Fundamentals (1988), Table 12.1 (from memory)
/// gives 17-26 of 25-28 % petrol and 16-35 of 34-38 % diesel, that is 0.61-1.04 and 0.42-1.03; the
/// upper ends are left out, since metal and surface take their part. Metal:
/// dry engines of 1.0-1.6 kg/kW petrol, 1.4-2.8 diesel, 2.8-4 lorry (common practice, no source) at
/// 0.46 kJ/(kg K) iron to 0.9 aluminium; with coolant 150 kJ/K is the default of NREL FASTSim v2.
struct VehicleKind {
  std::string_view name;
  double share; ///< of the population
  Bounds mass_kg;
  Bounds power_kw_per_t;
  Bounds rated_rpm;
  Bounds top_gear_rpm_per_kmh;
  Bounds drag_area_m2;
  Bounds heat_per_power;
  Bounds block_kj_per_k_per_kw;
  Bounds stamped_c;
  Bounds tows; ///< trailer or load, as a share of the mass
  double viscous;
  double fixed; ///< shares of fans; the rest is electric
};

constexpr auto k_kinds = std::to_array<VehicleKind>({
    {"small petrol car",
     0.16,
     {900, 1250},
     {50, 75},
     {5000, 6200},
     {26, 33},
     {0.55, 0.70},
     {0.60, 0.85},
     {0.65, 1.05},
     {82, 95},
     {0.15, 0.4},
     0.0,
     0.05},
    {"petrol estate",
     0.18,
     {1250, 1700},
     {55, 85},
     {4800, 6000},
     {23, 29},
     {0.60, 0.80},
     {0.60, 0.85},
     {0.55, 0.95},
     {82, 95},
     {0.2, 0.6},
     0.05,
     0.0},
    {"diesel car",
     0.16,
     {1300, 1850},
     {50, 72},
     {3800, 4500},
     {18, 24},
     {0.62, 0.85},
     {0.50, 0.78},
     {0.75, 1.2},
     {79, 91},
     {0.2, 0.7},
     0.1,
     0.0},
    {"petrol pick-up",
     0.10,
     {1700, 2400},
     {50, 75},
     {4600, 5600},
     {22, 28},
     {0.95, 1.30},
     {0.60, 0.85},
     {0.65, 1.05},
     {79, 92},
     {0.3, 0.9},
     0.5,
     0.05},
    {"diesel 4x4",
     0.16,
     {1900, 2600},
     {34, 52},
     {3400, 4200},
     {20, 26},
     {1.0, 1.4},
     {0.50, 0.78},
     {1.0, 1.6},
     {71, 88},
     {0.3, 0.9},
     0.75,
     0.08},
    {"van",
     0.10,
     {1900, 3200},
     {30, 46},
     {3400, 4000},
     {20, 26},
     {1.2, 1.8},
     {0.50, 0.78},
     {0.8, 1.3},
     {79, 88},
     {0.3, 0.6},
     0.4,
     0.0},
    {"light lorry",
     0.07,
     {4500, 9000},
     {16, 24},
     {2400, 3000},
     {20, 26},
     {3.2, 5.0},
     {0.42, 0.70},
     {1.2, 1.8},
     {71, 84},
     {0.2, 0.5},
     0.85,
     0.15},
    {"lorry",
     0.07,
     {10000, 19000},
     {13, 18},
     {1900, 2300},
     {14, 18},
     {5.0, 7.5},
     {0.42, 0.65},
     {1.3, 1.9},
     {79, 88},
     {0.2, 0.5},
     0.9,
     0.1},
});

const VehicleKind& draw_kind(Random& random) {
  double pick = random.between(0.0, 1.0);
  for (const VehicleKind& kind : k_kinds) {
    if (pick < kind.share) return kind;
    pick -= kind.share;
  }
  return k_kinds.back();
}

void draw_body(DrawnVehicle& vehicle, const VehicleKind& kind, Random& random) {
  Body& body = vehicle.body;
  body.mass_kg = in(random, kind.mass_kg);
  body.drag_area_m2 = in(random, kind.drag_area_m2);
  // Wong, Theory of Ground Vehicles (from memory): 0.006-0.01 lorry tyres, 0.01-0.015 car tyres.
  body.rolling = in(random, vehicle.heavy ? Bounds{0.006, 0.010} : Bounds{0.010, 0.016});
  body.rated_power_kw = body.mass_kg / 1000.0 * in(random, kind.power_kw_per_t);
  body.top_gear_rpm_per_kmh = in(random, kind.top_gear_rpm_per_kmh);
  vehicle.tows_kg = body.mass_kg * in(random, kind.tows);
}

void draw_engine(DrawnVehicle& vehicle, const VehicleKind& kind, Random& random) {
  CircuitParameters& c = vehicle.circuit;
  const double power_kw = vehicle.body.rated_power_kw;
  c.rated_rpm = in(random, kind.rated_rpm);
  c.idle_rpm = in(random, vehicle.heavy ? Bounds{550, 700} : Bounds{650, 850}); // common practice
  c.full_heat_kw = power_kw * in(random, kind.heat_per_power);
  c.no_load_share = random.between(0.09, 0.15); // common practice, no source
  c.cold_extra = random.between(0.2, 0.6);      // common practice, no source
  c.block_kj_per_k = power_kw * in(random, kind.block_kj_per_k_per_kw);
  // Common practice, no source: from the default vehicle's 2.6 kW/K for 56 kW, about a third off.
  c.block_to_coolant_kw_per_k = c.full_heat_kw * random.between(0.036, 0.060);
  // Surfaces grow as volume to the power 2/3; spread common practice, no source.
  const double size = std::cbrt(std::pow(c.block_kj_per_k / 120.0, 2.0));
  c.surface_kw_per_k = 0.014 * size * random.between(0.6, 1.6);
  c.surface_kw_per_k_per_mps = 0.0008 * size * random.between(0.6, 1.6);
}

void draw_coolant(DrawnVehicle& vehicle, Random& random) {
  CircuitParameters& c = vehicle.circuit;
  // 6-9 L car, 9-14 L diesel 4x4 (from memory): 1.5 L and 0.07-0.11 L per kW.
  const double capacity_l = 1.5 + vehicle.body.rated_power_kw * random.between(0.07, 0.11);
  c.radiator_coolant_l = capacity_l * random.between(0.25, 0.35);
  c.engine_coolant_l = capacity_l - c.radiator_coolant_l;
  c.radiator_metal_kj_per_k = 5.0 * c.full_heat_kw / 56.0 * random.between(0.7, 1.4);
  // 100-150 L/min at rated speed for cars (from memory), of 45 to 70 kW: 1.7-2.7 L/min per kW.
  c.flow_l_per_min = c.full_heat_kw * random.between(1.7, 2.7);
  c.cap_kpa = random.between(90.0, 145.0);         // common practice, no source
  c.mix.volume_pct = random.between(35.0, 55.0);   // ASTM D3306 has 40-60 %; owners thin it
  c.heater_kw_per_k = random.between(0.03, 0.055); // common practice, no source
}

void draw_thermostat(DrawnVehicle& vehicle, const VehicleKind& kind, Random& random) {
  CircuitParameters& c = vehicle.circuit;
  // One in six at the engine's inlet (common practice, no source).
  c.side =
      !vehicle.heavy && chance(random, 1.0 / 6.0) ? ThermostatSide::inlet : ThermostatSide::outlet;
  // 71-82 °C older and industrial diesels (TM 55-1905-220-14-4, TM 9-6115-464-12), 82-95 cars
  // (common practice). Start of opening within 2 K of the stamp: makers' service texts.
  vehicle.stamped_c = std::round(in(random, kind.stamped_c));
  c.opens_c = vehicle.stamped_c + random.between(-2.0, 2.0);
  // Fully open 8 K (TM 5-3810-231-12) to 15 K (a maker's service text) above; hot ones are narrow.
  c.span_k = std::min(random.between(8.0, 15.0), std::max(8.0, 106.0 - c.opens_c));
  c.hysteresis_k = random.between(1.0, 5.0); // a maker's closing line; TM 5-3825-229-14&P reject
  c.wax_lag_s = random.between(6.0, 25.0);   // 5-30 s (from memory)
  c.vent_share = random.between(0.0, 0.008); // jiggle pin; common practice, no source
}

void draw_air_side(DrawnVehicle& vehicle, const VehicleKind& kind, Random& random) {
  CircuitParameters& c = vehicle.circuit;
  // 0.5-2.5 kW/K for cars (from memory); by the heat to be got rid of.
  c.radiator_ua_kw_per_k = c.full_heat_kw * random.between(0.016, 0.028);
  c.radiator_face_m2 = c.radiator_ua_kw_per_k * random.between(0.20, 0.26); // common practice
  c.ram_share = random.between(0.13, 0.27);                                 // common practice
  c.still_air_mps = random.between(0.08, 0.2);                              // common practice
  c.fan_air_mps = random.between(2.5, 4.5);                                 // common practice
  const double pick = random.between(0.0, 1.0);
  c.fan = pick < kind.viscous                ? FanDrive::viscous
          : pick < kind.viscous + kind.fixed ? FanDrive::fixed
                                             : FanDrive::electric;
  // An electric fan starts above the thermostat's range, or it would run all day; at the inlet
  // side the sensor reads the engine's own rise on top (common practice, no source).
  const double rise_k = c.side == ThermostatSide::inlet ? random.between(3.0, 6.0) : 0.0;
  c.fan_on_c = c.opens_c + c.span_k + rise_k + random.between(0.5, 4.0);
  c.fan_off_c = c.fan_on_c - random.between(3.0, 6.0);
}

} // namespace

bool chance(Random& random, double probability) { return random.between(0.0, 1.0) < probability; }

Random random_for(std::uint64_t seed, std::size_t vehicle, std::size_t use) {
  Random mixed(seed * 1000003U + vehicle);
  const auto start = static_cast<std::uint64_t>(mixed.between(0.0, 9e15));
  return Random(start ^ (static_cast<std::uint64_t>(use) * 0x9E3779B97F4A7C15ULL));
}

DrawnVehicle draw_vehicle(std::uint64_t seed, std::size_t number) {
  Random random = random_for(seed, number, 0);
  const VehicleKind& kind = draw_kind(random);
  DrawnVehicle vehicle;
  vehicle.kind = kind.name;
  vehicle.heavy = kind.mass_kg.low > 4000.0;
  draw_body(vehicle, kind, random);
  draw_engine(vehicle, kind, random);
  draw_coolant(vehicle, random);
  draw_thermostat(vehicle, kind, random);
  draw_air_side(vehicle, kind, random);
  vehicle.sensor.lag_s = random.between(4.0, 20.0); // common practice, no source
  vehicle.sensor.noise_c = random.between(0.0, 0.25);
  vehicle.sensor.resolution_c = 0.0; // the log's columns round
  vehicle.missing_share = chance(random, 0.3) ? random.between(0.0, 0.003) : 0.0;
  vehicle.season_c = random.between(3.0, 22.0);
  vehicle.town = random.between(0.15, 0.5);
  vehicle.highway = random.between(0.1, 0.4);
  size_radiator(vehicle, random);
  return vehicle;
}

} // namespace coolband::accuracy
