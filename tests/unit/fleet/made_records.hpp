// SPDX-License-Identifier: Apache-2.0
// Records for tests of the fleet.
#pragma once

#include "fleet/vehicle_record.hpp"

#include <string>
#include <utility>

namespace coolband::testing {

inline TripRecord made_trip(Action action, double confidence, std::optional<double> start_s = {}) {
  TripRecord trip;
  trip.start_s = start_s;
  trip.duration_s = 1800.0;
  trip.action = action;
  trip.condition = action == Action::none ? Condition::normal : Condition::radiator_restricted;
  trip.confidence = confidence;
  trip.headline = std::string(name_of(action)) + " at " + std::to_string(confidence);
  trip.median_c = 84.5;
  return trip;
}

inline VehicleRecord made_vehicle(const std::string& id, std::vector<TripRecord> trips) {
  VehicleRecord vehicle;
  vehicle.id = id;
  for (std::size_t i = 0; i < trips.size(); ++i) {
    LogRecord log;
    log.path = id + "/" + std::to_string(i) + ".csv";
    log.hash = "0123456789abcdef";
    log.trips.push_back(std::move(trips[i]));
    vehicle.logs.push_back(std::move(log));
  }
  vehicle.state = state_of(vehicle, 5);
  return vehicle;
}

} // namespace coolband::testing
