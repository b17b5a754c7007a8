// SPDX-License-Identifier: Apache-2.0
// Reports to plan jobs from.
#pragma once

#include "repair/reported_trip.hpp"

#include <initializer_list>
#include <string>
#include <utility>

namespace coolband::testing {

inline ReportedTrip made_report(Condition condition, double confidence, Action action,
                                std::initializer_list<RankedCause> causes) {
  ReportedTrip trip;
  trip.vehicle_id = "warden-9";
  trip.source = "trip.csv";
  trip.condition = condition;
  trip.confidence = confidence;
  trip.action = action;
  trip.headline = "INVENTED";
  trip.causes = causes;
  trip.roles = {"time", "coolant"};
  return trip;
}

inline ReportedTrip stuck_open_report() {
  return made_report(Condition::thermostat_stuck_open, 0.8, Action::service,
                     {{Condition::thermostat_stuck_open, 0.95},
                      {Condition::sensor_fault, 0.03},
                      {Condition::normal, 0.02}});
}

/// The trip with a profile; `fields` are those behind the id.
inline ReportedTrip with_profile(ReportedTrip trip, const std::string& fields) {
  trip.profile =
      parse_profile(R"({"schema": "coolband.vehicle/1", "id": "warden-9", )" + fields + "}", "made")
          .value();
  return trip;
}

inline constexpr const char* k_whole_profile =
    R"("odometer_km": 100000, "thermostat": {"opens_c": 82, "position": "inlet", "kind": "wax"},
       "cooling": {"capacity_l": 10, "cap_kpa": 100, "glycol": "ethylene",
                   "concentration_vol_pct": 50, "fan": "electric"})";

} // namespace coolband::testing
