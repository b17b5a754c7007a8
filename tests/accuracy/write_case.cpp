// SPDX-License-Identifier: Apache-2.0
// Scenario files from scenarios; every number in full, so that the program drives the same drive.
#include "accuracy/write_case.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <system_error>

namespace coolband::accuracy {
namespace {

using Json = nlohmann::ordered_json;

Json engine_json(const Scenario& scenario) {
  const CircuitParameters& c = scenario.circuit;
  return {{"rated_power_kw", scenario.body.rated_power_kw},
          {"rated_rpm", c.rated_rpm},
          {"idle_rpm", c.idle_rpm},
          {"full_heat_kw", c.full_heat_kw},
          {"no_load_share", c.no_load_share},
          {"cold_extra", c.cold_extra},
          {"block_kj_per_k", c.block_kj_per_k},
          {"block_to_coolant_kw_per_k", c.block_to_coolant_kw_per_k},
          {"surface_kw_per_k", c.surface_kw_per_k},
          {"surface_kw_per_k_per_mps", c.surface_kw_per_k_per_mps}};
}

Json thermostat_json(const CircuitParameters& c) {
  return {{"opens_c", c.opens_c},
          {"full_open_c", c.opens_c + c.span_k},
          {"hysteresis_k", c.hysteresis_k},
          {"wax_lag_s", c.wax_lag_s},
          {"vent_share", c.vent_share},
          {"position", c.side == ThermostatSide::inlet ? "inlet" : "outlet"}};
}

Json cooling_json(const CircuitParameters& c) {
  constexpr const char* k_fans[] = {"viscous", "electric", "fixed"};
  return {{"capacity_l", c.engine_coolant_l + c.radiator_coolant_l},
          {"radiator_l", c.radiator_coolant_l},
          {"cap_kpa", c.cap_kpa},
          {"glycol", "ethylene"},
          {"concentration_vol_pct", c.mix.volume_pct},
          {"flow_l_per_min", c.flow_l_per_min},
          {"radiator_metal_kj_per_k", c.radiator_metal_kj_per_k},
          {"radiator_ua_kw_per_k", c.radiator_ua_kw_per_k},
          {"reference_air_mps", c.reference_air_mps},
          {"radiator_face_m2", c.radiator_face_m2},
          {"ram_share", c.ram_share},
          {"still_air_mps", c.still_air_mps},
          {"fan", k_fans[static_cast<std::size_t>(c.fan)]},
          {"fan_air_mps", c.fan_air_mps},
          {"fan_on_c", c.fan_on_c},
          {"fan_off_c", c.fan_off_c},
          {"heater_kw_per_k", c.heater_kw_per_k}};
}

Json vehicle_json(const Scenario& scenario) {
  const Body& body = scenario.body;
  return {{"engine", engine_json(scenario)},
          {"thermostat", thermostat_json(scenario.circuit)},
          {"cooling", cooling_json(scenario.circuit)},
          {"body",
           {{"mass_kg", body.mass_kg},
            {"drag_area_m2", body.drag_area_m2},
            {"rolling", body.rolling},
            {"top_gear_rpm_per_kmh", body.top_gear_rpm_per_kmh}}}};
}

Json route_json(const Scenario& scenario) {
  Json route = Json::array();
  for (const RoutePhase& phase : scenario.route) {
    Json stretch{{"kind", name_of(phase.kind)}, {"minutes", phase.minutes}};
    if (phase.speed_kmh) stretch["speed_kmh"] = *phase.speed_kmh;
    if (phase.grade_pct) stretch["grade_pct"] = *phase.grade_pct;
    if (phase.trailer_kg > 0.0) stretch["trailer_kg"] = phase.trailer_kg;
    route.push_back(std::move(stretch));
  }
  return route;
}

Json faults_json(const Scenario& scenario) {
  Json faults = Json::array();
  for (const FaultPlan& plan : scenario.faults) {
    Json fault{{"kind", name_of(plan.kind)}, {"severity", plan.severity}, {"from_s", plan.from_s}};
    if (plan.spells) fault["spells"] = {{"on_s", plan.spells->on_s}, {"off_s", plan.spells->off_s}};
    faults.push_back(std::move(fault));
  }
  return faults;
}

Json logging_json(const Logging& logging) {
  return {{"period_s", logging.period_s},
          {"resolution_c", logging.sensor.resolution_c},
          {"noise_c", logging.sensor.noise_c},
          {"sensor_lag_s", logging.sensor.lag_s},
          {"ambient_resolution_c", logging.ambient_resolution_c},
          {"missing_share", logging.missing_share}};
}

bool write_file(const std::string& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
  file.close();
  return !file.fail();
}

} // namespace

std::string scenario_text(const Scenario& scenario) {
  Json json{{"schema", "coolband.scenario/1"}, {"vehicle", vehicle_json(scenario)}};
  json["weather"] = {{"ambient_c", scenario.weather.ambient_c},
                     {"change_c_per_h", scenario.weather.change_c_per_h},
                     {"headwind_kmh", scenario.weather.headwind_kmh}};
  if (scenario.comfort.heater) json["comfort"] = {{"heater", *scenario.comfort.heater}};
  json["start"] = {{"altitude_m", scenario.start_altitude_m}};
  if (!std::isnan(scenario.start_c)) json["start"]["engine_c"] = scenario.start_c;
  json["route"] = route_json(scenario);
  json["faults"] = faults_json(scenario);
  json["logging"] = logging_json(scenario.logging);
  json["seed"] = scenario.seed;
  return json.dump(2) + '\n';
}

std::optional<Error> write_case(const std::string& directory, const WrittenCase& written) {
  std::error_code failed;
  std::filesystem::create_directories(directory, failed);
  bool good = !failed;
  for (std::size_t i = 0; i < written.learned.size(); ++i) {
    const std::string stem = fmt::format("{}/learn-{:02}", directory, i);
    good = good && write_file(stem + ".csv", written.learning_logs[i]);
    good = good && write_file(stem + ".json", scenario_text(written.learned[i]));
  }
  good = good && write_file(directory + "/test.csv", written.log);
  good = good && write_file(directory + "/test.json", scenario_text(written.scenario));
  if (good) return std::nullopt;
  return Error{ErrorKind::output,
               {directory},
               "cannot write the case there",
               "",
               "give a directory that can be written"};
}

} // namespace coolband::accuracy
