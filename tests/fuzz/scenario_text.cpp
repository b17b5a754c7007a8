// SPDX-License-Identifier: Apache-2.0
// Writing a scenario: the program only reads them, so this is a second opinion of the format.
#include "fuzz/scenario_text.hpp"

#include <array>
#include <cmath>
#include <utility>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband::testing {

namespace {

using Json = nlohmann::ordered_json;
using Parameter = double CircuitParameters::*;

constexpr auto k_engine = std::to_array<std::pair<const char*, Parameter>>({
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
constexpr auto k_thermostat = std::to_array<std::pair<const char*, Parameter>>({
    {"opens_c", &CircuitParameters::opens_c},
    {"hysteresis_k", &CircuitParameters::hysteresis_k},
    {"wax_lag_s", &CircuitParameters::wax_lag_s},
    {"vent_share", &CircuitParameters::vent_share},
});
constexpr auto k_cooling = std::to_array<std::pair<const char*, Parameter>>({
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
constexpr std::array k_glycols{"none", "ethylene", "propylene"};
constexpr std::array k_fans{"viscous", "electric", "fixed"};

template <class Table>
Json numbers_json(const Table& table, const CircuitParameters& circuit) {
  Json json = Json::object();
  for (const auto& [key, member] : table) json[key] = circuit.*member;
  return json;
}

template <class Table>
void tell(Told& told, const Table& table, const CircuitParameters& circuit) {
  for (const auto& row : table) told.number(circuit.*row.second);
}

/// What may be endless (a fault that stays) is told as a word.
void tell_end(Told& told, double value) {
  if (std::isfinite(value))
    told.number(value);
  else
    told.word("endless");
}

void put(Json& json, const char* key, const std::optional<double>& value) {
  if (value) json[key] = *value;
}

Json vehicle_json(const Scenario& scenario) {
  const CircuitParameters& circuit = scenario.circuit;
  Json engine = numbers_json(k_engine, circuit);
  engine["rated_power_kw"] = scenario.body.rated_power_kw;
  Json thermostat = numbers_json(k_thermostat, circuit);
  thermostat["full_open_c"] = circuit.opens_c + circuit.span_k;
  thermostat["position"] = circuit.side == ThermostatSide::inlet ? "inlet" : "outlet";
  Json cooling = numbers_json(k_cooling, circuit);
  cooling["capacity_l"] = circuit.engine_coolant_l + circuit.radiator_coolant_l;
  cooling["glycol"] = k_glycols.at(static_cast<std::size_t>(circuit.mix.glycol));
  cooling["concentration_vol_pct"] = circuit.mix.volume_pct;
  cooling["fan"] = k_fans.at(static_cast<std::size_t>(circuit.fan));
  const Body& body = scenario.body;
  return {{"engine", engine},
          {"thermostat", thermostat},
          {"cooling", cooling},
          {"body",
           {{"mass_kg", body.mass_kg},
            {"drag_area_m2", body.drag_area_m2},
            {"rolling", body.rolling},
            {"top_gear_rpm_per_kmh", body.top_gear_rpm_per_kmh}}}};
}

Json route_json(const Scenario& scenario) {
  Json route = Json::array();
  for (const RoutePhase& phase : scenario.route) {
    Json stretch = {{"kind", name_of(phase.kind)},
                    {"minutes", phase.minutes},
                    {"trailer_kg", phase.trailer_kg}};
    put(stretch, "speed_kmh", phase.speed_kmh);
    put(stretch, "grade_pct", phase.grade_pct);
    route.push_back(std::move(stretch));
  }
  return route;
}

Json faults_json(const Scenario& scenario) {
  Json faults = Json::array();
  for (const FaultPlan& plan : scenario.faults) {
    Json fault = {
        {"kind", name_of(plan.kind)}, {"severity", plan.severity}, {"from_s", plan.from_s}};
    if (std::isfinite(plan.to_s)) fault["to_s"] = plan.to_s;
    if (plan.spells) fault["spells"] = {{"on_s", plan.spells->on_s}, {"off_s", plan.spells->off_s}};
    faults.push_back(std::move(fault));
  }
  return faults;
}

Json logging_json(const cli::ScenarioFile& file) {
  const Logging& logging = file.scenario.logging;
  Json json = {{"period_s", logging.period_s},
               {"resolution_c", logging.sensor.resolution_c},
               {"noise_c", logging.sensor.noise_c},
               {"sensor_lag_s", logging.sensor.lag_s},
               {"ambient_resolution_c", logging.ambient_resolution_c},
               {"missing_share", logging.missing_share},
               {"gaps", Json::array()}};
  for (const LogGap& gap : logging.gaps)
    json["gaps"].push_back({{"from_s", gap.from_s}, {"to_s", gap.to_s}});
  if (file.clock) json["clock"] = format_instant(*file.clock, 0.0);
  return json;
}

void tell_vehicle(Told& told, const Scenario& scenario) {
  const CircuitParameters& circuit = scenario.circuit;
  tell(told, k_engine, circuit);
  tell(told, k_thermostat, circuit);
  tell(told, k_cooling, circuit);
  told.word(fmt::format("{} {} {}", static_cast<int>(circuit.side), static_cast<int>(circuit.fan),
                        static_cast<int>(circuit.mix.glycol)));
  const Body& body = scenario.body;
  for (const double number :
       {circuit.span_k, circuit.engine_coolant_l, circuit.mix.volume_pct, body.mass_kg,
        body.drag_area_m2, body.rolling, body.rated_power_kw, body.top_gear_rpm_per_kmh})
    told.number(number);
}

void tell_route(Told& told, const Scenario& scenario) {
  for (const RoutePhase& phase : scenario.route) {
    told.word(name_of(phase.kind));
    told.number(phase.minutes);
    told.number(phase.trailer_kg);
    told.number(phase.speed_kmh);
    told.number(phase.grade_pct);
  }
}

void tell_faults(Told& told, const Scenario& scenario) {
  for (const FaultPlan& plan : scenario.faults) {
    told.word(name_of(plan.kind));
    told.number(plan.severity);
    told.number(plan.from_s);
    tell_end(told, plan.to_s);
    told.word(plan.spells ? "spells" : "steady");
    if (!plan.spells) continue;
    told.number(plan.spells->on_s);
    told.number(plan.spells->off_s);
  }
}

void tell_logging(Told& told, const cli::ScenarioFile& file) {
  const Logging& logging = file.scenario.logging;
  for (const double number :
       {logging.period_s, logging.sensor.resolution_c, logging.sensor.noise_c, logging.sensor.lag_s,
        logging.ambient_resolution_c, logging.missing_share})
    told.number(number);
  for (const LogGap& gap : logging.gaps) {
    told.number(gap.from_s);
    told.number(gap.to_s);
  }
  told.word(file.clock ? format_instant(*file.clock, 0.0) : "seconds");
}

} // namespace

Told told_of(const cli::ScenarioFile& file) {
  const Scenario& scenario = file.scenario;
  Told told;
  told.word(scenario.name);
  told.word(std::to_string(scenario.seed));
  tell_vehicle(told, scenario);
  for (const double number : {scenario.weather.ambient_c, scenario.weather.change_c_per_h,
                              scenario.weather.headwind_kmh, scenario.start_altitude_m})
    told.number(number);
  told.number(scenario.comfort.heater);
  told.word(scenario.comfort.air_conditioning ? (*scenario.comfort.air_conditioning ? "on" : "off")
                                              : "usual");
  if (!std::isnan(scenario.start_c)) told.number(scenario.start_c);
  tell_route(told, scenario);
  tell_faults(told, scenario);
  tell_logging(told, file);
  return told;
}

std::string scenario_text(const cli::ScenarioFile& file) {
  const Scenario& scenario = file.scenario;
  Json json = {{"schema", "coolband.scenario/1"},
               {"name", scenario.name},
               {"seed", scenario.seed},
               {"vehicle", vehicle_json(scenario)}};
  json["weather"] = {{"ambient_c", scenario.weather.ambient_c},
                     {"change_c_per_h", scenario.weather.change_c_per_h},
                     {"headwind_kmh", scenario.weather.headwind_kmh}};
  json["comfort"] = Json::object();
  put(json["comfort"], "heater", scenario.comfort.heater);
  if (scenario.comfort.air_conditioning)
    json["comfort"]["air_conditioning"] = *scenario.comfort.air_conditioning;
  json["start"] = {{"altitude_m", scenario.start_altitude_m}};
  if (!std::isnan(scenario.start_c)) json["start"]["engine_c"] = scenario.start_c;
  json["route"] = route_json(scenario);
  json["faults"] = faults_json(scenario);
  json["logging"] = logging_json(file);
  return json.dump(1);
}

} // namespace coolband::testing
