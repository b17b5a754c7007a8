// SPDX-License-Identifier: Apache-2.0
// Air through the core, and the heat it takes.
#include "circuit/air_side.hpp"

#include "circuit/kelvin.hpp"
#include "circuit/lag.hpp"
#include "core/portable_math.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

constexpr double k_air_kj_per_kg_k = 1.006;
constexpr double k_gas_constant = 0.28705287;    // kPa m3/(kg K), ISO 2533
constexpr double k_reference_kg_per_m3 = 1.2041; // 20 °C, 101.325 kPa

// At walking pace a part of the warm air comes round to the front again; at 6 m/s none does
// (judgement).
constexpr double k_recirculated_standing = 0.15;
constexpr double k_recirculated_until_mps = 6.0;

// Share of the resistance to heat that is on the coolant's side at reference air and rated flow
// (judgement: the air has by far the poorer film), growing as flow^-0.8 until the tubes turn
// laminar.
constexpr double k_coolant_side = 0.1;
constexpr double k_laminar_film = 0.1;

// A core behind a plank still breathes, and no quotient is taken of nothing.
constexpr double k_least_air_mps = 1e-3;
constexpr double k_least_kw_per_k = 1e-9;

double surface_kw_per_k(const CircuitParameters& parameters, const CircuitFaults& faults,
                        const CoreAir& air, double flow_share) {
  const double air_film = power_three_quarters(air.mass_share);
  const double coolant_film = std::max(power_four_fifths(flow_share), k_laminar_film);
  return parameters.radiator_ua_kw_per_k * faults.core_ua_factor * air_film * coolant_film /
         ((1.0 - k_coolant_side) * coolant_film + k_coolant_side * air_film);
}

} // namespace

CoreAir core_air(const CircuitParameters& parameters, const Operation& operation,
                 const CircuitFaults& faults, double fan_mps) {
  const double ram_mps = parameters.ram_share * operation.speed_mps;
  const double free_mps =
      parameters.still_air_mps + std::sqrt(ram_mps * ram_mps + fan_mps * fan_mps);
  const double through_mps = std::max(free_mps * faults.core_air_factor, k_least_air_mps);
  const double density =
      operation.outside_kpa / (k_gas_constant * (operation.ambient_c + k_celsius_zero_k));
  CoreAir air;
  air.kw_per_k = parameters.radiator_face_m2 * through_mps * density * k_air_kj_per_kg_k;
  air.mass_share = through_mps * density / (parameters.reference_air_mps * k_reference_kg_per_m3);
  air.recirculated =
      k_recirculated_standing * std::max(1.0 - operation.speed_mps / k_recirculated_until_mps, 0.0);
  return air;
}

// One row of tubes: the coolant has one temperature across the depth of the core, the air does not
// mix between the fins. The air by itself takes `alone` per K above it, so the coolant leaves with
// exp(-alone/C_coolant) of its excess: the effectiveness of cross-flow with the larger capacity
// rate mixed, as long as the coolant's is the larger.
//
// That tells the steady state. Off it, the radiator's temperature strives back to its steady value
// at the rate at which a core of one temperature loses heat:
//   q = carried (T_engine - T_air) + alone (T_radiator - T_steady)
// which stays finite with the valve shut, where a conductance from the outlet alone would not.
CoreConductance core_conductance(const CircuitParameters& parameters, const CircuitFaults& faults,
                                 const CoreAir& air, double coolant_kw_per_k, double flow_share) {
  const double ua = surface_kw_per_k(parameters, faults, air, flow_share);
  const double coolant = std::max(coolant_kw_per_k, k_least_kw_per_k);
  const double alone = air.kw_per_k * (1.0 - portable_exp(-ua / air.kw_per_k));
  const double excess_left = portable_exp(-alone / coolant);
  const double carried = coolant * (1.0 - excess_left);
  const double by_inlet = std::max(carried - alone * excess_left, 0.0);
  if (air.recirculated <= 0.0) return {alone, by_inlet};
  // Air that comes round again is warmer by what it took: both conductances shrink alike.
  const double fresh = (1.0 - air.recirculated) * air.kw_per_k;
  const double shrunk = fresh / (fresh + air.recirculated * (alone + by_inlet));
  return {alone * shrunk, by_inlet * shrunk};
}

} // namespace coolband
