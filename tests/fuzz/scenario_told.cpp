// SPDX-License-Identifier: Apache-2.0
// Told field by field: whether it stands in the file, and what.
#include "fuzz/scenario_told.hpp"

#include "support/scenario_text.hpp"

#include <cmath>

#include <fmt/core.h>

namespace coolband::testing {

namespace {

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

} // namespace coolband::testing
