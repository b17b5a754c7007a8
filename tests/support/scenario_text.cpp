// SPDX-License-Identifier: Apache-2.0
// Writing a scenario: the program only reads them, so this is a second opinion of the format.
#include "support/scenario_text.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

namespace coolband::testing {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::array k_glycols{"none", "ethylene", "propylene"};
constexpr std::array k_fans{"viscous", "electric", "fixed"};

template <class Table>
Json numbers_json(const Table& table, const CircuitParameters& circuit) {
  Json json = Json::object();
  for (const auto& [key, member] : table) json[key] = circuit.*member;
  return json;
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

Json logging_json(const Logging& logging, const std::optional<Clock>& clock) {
  Json json = {{"period_s", logging.period_s},
               {"resolution_c", logging.sensor.resolution_c},
               {"noise_c", logging.sensor.noise_c},
               {"sensor_lag_s", logging.sensor.lag_s},
               {"ambient_resolution_c", logging.ambient_resolution_c},
               {"missing_share", logging.missing_share},
               {"gaps", Json::array()}};
  for (const LogGap& gap : logging.gaps)
    json["gaps"].push_back({{"from_s", gap.from_s}, {"to_s", gap.to_s}});
  if (clock) json["clock"] = format_instant(*clock, 0.0);
  return json;
}

} // namespace

std::string scenario_text(const Scenario& scenario, const std::optional<Clock>& clock) {
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
  json["logging"] = logging_json(scenario.logging, clock);
  return json.dump(2) + '\n';
}

} // namespace coolband::testing
