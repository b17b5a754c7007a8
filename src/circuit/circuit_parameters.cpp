// SPDX-License-Identifier: Apache-2.0
// Which parameters of a circuit are possible.
#include "circuit/circuit.hpp"

#include <fmt/core.h>

#include <array>
#include <cmath>

namespace coolband {

namespace {

enum class Rule : std::uint8_t { above_0, not_below_0, share, finite };

struct FieldRule {
  const char* name;
  double CircuitParameters::*field;
  Rule rule;
};

// Beyond the strongest caps by far; keeps every pressure on the boiling curve.
constexpr double k_highest_cap_kpa = 400.0;

using P = CircuitParameters;
constexpr auto k_rules = std::to_array<FieldRule>({
    {"rated_rpm", &P::rated_rpm, Rule::above_0},
    {"idle_rpm", &P::idle_rpm, Rule::above_0},
    {"full_heat_kw", &P::full_heat_kw, Rule::above_0},
    {"no_load_share", &P::no_load_share, Rule::share},
    {"cold_extra", &P::cold_extra, Rule::not_below_0},
    {"block_kj_per_k", &P::block_kj_per_k, Rule::above_0},
    {"block_to_coolant_kw_per_k", &P::block_to_coolant_kw_per_k, Rule::above_0},
    {"engine_coolant_l", &P::engine_coolant_l, Rule::above_0},
    {"radiator_coolant_l", &P::radiator_coolant_l, Rule::above_0},
    {"radiator_metal_kj_per_k", &P::radiator_metal_kj_per_k, Rule::not_below_0},
    {"flow_l_per_min", &P::flow_l_per_min, Rule::above_0},
    {"cap_kpa", &P::cap_kpa, Rule::not_below_0},
    {"opens_c", &P::opens_c, Rule::finite},
    {"span_k", &P::span_k, Rule::above_0},
    {"hysteresis_k", &P::hysteresis_k, Rule::not_below_0},
    {"wax_lag_s", &P::wax_lag_s, Rule::above_0},
    {"vent_share", &P::vent_share, Rule::share},
    {"radiator_ua_kw_per_k", &P::radiator_ua_kw_per_k, Rule::above_0},
    {"reference_air_mps", &P::reference_air_mps, Rule::above_0},
    {"radiator_face_m2", &P::radiator_face_m2, Rule::above_0},
    {"ram_share", &P::ram_share, Rule::share},
    {"still_air_mps", &P::still_air_mps, Rule::above_0},
    {"fan_air_mps", &P::fan_air_mps, Rule::not_below_0},
    {"fan_on_c", &P::fan_on_c, Rule::finite},
    {"fan_off_c", &P::fan_off_c, Rule::finite},
    {"surface_kw_per_k", &P::surface_kw_per_k, Rule::not_below_0},
    {"surface_kw_per_k_per_mps", &P::surface_kw_per_k_per_mps, Rule::not_below_0},
    {"heater_kw_per_k", &P::heater_kw_per_k, Rule::not_below_0},
});

const char* broken(Rule rule, double value) {
  if (!std::isfinite(value)) return "must be a number";
  if (rule == Rule::above_0 && !(value > 0.0)) return "must be above 0";
  if (rule == Rule::not_below_0 && !(value >= 0.0)) return "must not be below 0";
  if (rule == Rule::share && !(value >= 0.0 && value <= 1.0)) return "must be from 0 to 1";
  return nullptr;
}

std::string told(const char* name, double value, const char* rule) {
  return fmt::format("{} = {}: {}", name, value, rule);
}

} // namespace

std::optional<std::string> invalid(const CircuitParameters& parameters) {
  for (const FieldRule& field : k_rules) {
    const double value = parameters.*field.field;
    if (const char* rule = broken(field.rule, value)) return told(field.name, value, rule);
  }
  if (parameters.idle_rpm >= parameters.rated_rpm)
    return told("idle_rpm", parameters.idle_rpm, "must be below rated_rpm");
  if (parameters.fan_off_c >= parameters.fan_on_c)
    return told("fan_off_c", parameters.fan_off_c, "must be below fan_on_c");
  if (parameters.cap_kpa > k_highest_cap_kpa)
    return told("cap_kpa", parameters.cap_kpa, "must not be above 400");
  const double volume_pct = parameters.mix.volume_pct;
  if (!(volume_pct >= 0.0 && volume_pct <= 60.0))
    return told("mix.volume_pct", volume_pct, "must be from 0 to 60");
  return std::nullopt;
}

} // namespace coolband
