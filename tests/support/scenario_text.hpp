// SPDX-License-Identifier: Apache-2.0
// A scenario as a file of `coolband.scenario/1`, the vehicle inside it.
#pragma once

#include "circuit/scenario.hpp"
#include "coolband/core/timestamp.hpp"

#include <array>
#include <optional>
#include <string>
#include <utility>

namespace coolband::testing {

using Parameter = double CircuitParameters::*;

// The fields that stand in the file as they stand in the circuit.
inline constexpr auto k_engine = std::to_array<std::pair<const char*, Parameter>>({
    {"rated_rpm", &CircuitParameters::rated_rpm},
    {"idle_rpm", &CircuitParameters::idle_rpm},
    {"full_heat_kw", &CircuitParameters::full_heat_kw},
    {"no_load_share", &CircuitParameters::no_load_share},
    {"cold_extra", &CircuitParameters::cold_extra},
    {"block_kj_per_k", &CircuitParameters::block_kj_per_k},
    {"block_to_coolant_kw_per_k", &CircuitParameters::block_to_coolant_kw_per_k},
    {"surface_kw_per_k", &CircuitParameters::surface_kw_per_k},
    {"surface_kw_per_k_per_mps", &CircuitParameters::surface_kw_per_k_per_mps},
});
inline constexpr auto k_thermostat = std::to_array<std::pair<const char*, Parameter>>({
    {"opens_c", &CircuitParameters::opens_c},
    {"hysteresis_k", &CircuitParameters::hysteresis_k},
    {"wax_lag_s", &CircuitParameters::wax_lag_s},
    {"vent_share", &CircuitParameters::vent_share},
});
inline constexpr auto k_cooling = std::to_array<std::pair<const char*, Parameter>>({
    {"radiator_l", &CircuitParameters::radiator_coolant_l},
    {"radiator_metal_kj_per_k", &CircuitParameters::radiator_metal_kj_per_k},
    {"flow_l_per_min", &CircuitParameters::flow_l_per_min},
    {"cap_kpa", &CircuitParameters::cap_kpa},
    {"radiator_ua_kw_per_k", &CircuitParameters::radiator_ua_kw_per_k},
    {"reference_air_mps", &CircuitParameters::reference_air_mps},
    {"radiator_face_m2", &CircuitParameters::radiator_face_m2},
    {"ram_share", &CircuitParameters::ram_share},
    {"still_air_mps", &CircuitParameters::still_air_mps},
    {"fan_air_mps", &CircuitParameters::fan_air_mps},
    {"fan_on_c", &CircuitParameters::fan_on_c},
    {"fan_off_c", &CircuitParameters::fan_off_c},
    {"heater_kw_per_k", &CircuitParameters::heater_kw_per_k},
});

/// Every field written out, so that nothing is left to defaults; `clock` is that of the first row.
std::string scenario_text(const Scenario& scenario, const std::optional<Clock>& clock = {});

} // namespace coolband::testing
