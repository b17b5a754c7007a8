// SPDX-License-Identifier: Apache-2.0
// Like-for-like drives: cold start, comparable weather and load, an opening, an idle, a sustained
// load (common practice, no source). Minutes likewise.
#include "repair/proving_run.hpp"

#include "repair/hazards.hpp"

#include <algorithm>
#include <numeric>

namespace coolband {

namespace {

using Legs = std::vector<RouteLeg>;

constexpr const char* k_cold_start = "cold start (below 40 °C), drive off, no long idling";

Legs legs_for(Condition fault) {
  switch (fault) {
  case Condition::thermostat_stuck_open:
    return {
        {k_cold_start, 12}, {"steady road or motorway, light load", 20}, {"idle at the end", 3}};
  case Condition::thermostat_stuck_closed:
    return {{k_cold_start, 12}, {"road or motorway, then a climb or load", 25}, {"hot idle", 5}};
  case Condition::thermostat_sticking:
    return {{k_cold_start, 12}, {"load up and down: hills, town, road", 35}, {"hot idle", 5}};
  case Condition::fan_not_cooling:
    return {{k_cold_start, 12}, {"road, with load", 15}, {"hot idle, not moving", 12}};
  case Condition::radiator_restricted:
  case Condition::coolant_flow_low:
    return {{k_cold_start, 12},
            {"sustained load: long climb, trailer or motorway", 25},
            {"hot idle", 5}};
  case Condition::air_or_low_coolant:
    return {{k_cold_start, 12},
            {"mixed road with some load", 20},
            {"hot idle", 5},
            {"stop until cold; level again", 0}};
  case Condition::sensor_fault:
    return {{"first start of the day, logged from key-on", 12},
            {"rough road and smooth", 25},
            {"idle at the end", 3}};
  default:
    return {{k_cold_start, 12},
            {"road or motorway at steady speed", 20},
            {"some load: a climb, a trailer or brisk driving", 10},
            {"hot idle, not moving", 8}};
  }
}

/// As `verify` will ask for them, where the report tells in what conditions the fault showed.
std::string conditions_for(Condition fault, const ReportedTrip& trip) {
  if (trip.situation && fits(*trip.situation, fault))
    return "each " + telling_drive({shown_by(fault, *trip.situation)});
  switch (fault) {
  case Condition::thermostat_stuck_open:
    return "as cold as before or colder, yet above 5 °C: warmth hides a valve that hangs open";
  case Condition::thermostat_stuck_closed:
  case Condition::fan_not_cooling:
  case Condition::radiator_restricted:
  case Condition::coolant_flow_low:
    return "as warm outside and as loaded as before: cool air hides what cools too little";
  case Condition::undetermined: return "outside above 5 °C, heater as usual";
  default: return "weather and load as before";
  }
}

std::vector<ColumnToLog> columns_for(const ReportedTrip& trip) {
  std::vector<ColumnToLog> columns = {{"time", "every 2 s or faster", false},
                                      {"coolant", "as finely as the logger can", false},
                                      {"load", "tells a climb from a fault", false},
                                      {"rpm", "heat and flow", false},
                                      {"speed", "air through the radiator", false},
                                      {"ambient", "weather (or --ambient)", false}};
  for (ColumnToLog& column : columns) {
    column.logged_before =
        std::find(trip.roles.begin(), trip.roles.end(), column.role) != trip.roles.end();
  }
  return columns;
}

ProvingRun run_for(Condition fault, const ReportedTrip& trip) {
  ProvingRun run;
  run.legs = legs_for(fault);
  run.minutes = std::accumulate(run.legs.begin(), run.legs.end(), 0.0,
                                [](double sum, const RouteLeg& leg) { return sum + leg.minutes; });
  if (fault == Condition::undetermined && calls_to_stop(trip.action, trip.condition))
    run.not_before = "not before a check has found the cause and it is cured: driving on while it "
                     "overheats ruins an engine";
  run.conditions.push_back(conditions_for(fault, trip));
  run.conditions.emplace_back("watch the reading: stop if it climbs past its normal and on");
  run.columns = columns_for(trip);
  return run;
}

} // namespace

ProvingRun proving_run(Condition fault, const ReportedTrip& trip, const ShowingRate& rate,
                       double miss) {
  ProvingRun run = run_for(fault, trip);
  run.rate = rate;
  run.miss = miss;
  // A fault that no drive showed may hide from any number of them.
  if (rate.share || rate.shown > 0) run.drives = clean_drives_needed(rate, miss);
  if (run.drives) run.chance_left = missed_chance(rate, *run.drives);
  return run;
}

ProvingRun telling_run(const ReportedTrip& trip) { return run_for(Condition::undetermined, trip); }

} // namespace coolband
