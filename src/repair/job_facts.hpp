// SPDX-License-Identifier: Apache-2.0
// What is known of the vehicle that matters to a job. Nothing is filled in by guess.
#pragma once

#include "circuit/circuit.hpp"
#include "repair/reported_trip.hpp"

#include <optional>

namespace coolband {

struct JobFacts {
  std::optional<double> opens_c; ///< °C
  bool opens_by_band = false;    ///< where the vehicle's own thermostat was seen to open: no rating
  std::optional<double> full_open_c;
  std::optional<double> cap_kpa; ///< gauge
  std::optional<double> capacity_l;
  std::optional<Glycol> glycol;
  std::optional<double> concentration_pct; ///< vol %
  std::optional<FanDrive> fan;
  std::optional<ThermostatSide> valve_side;
  bool mapped = false; ///< an electrically heated thermostat
  std::optional<double> odometer_km;
  /// °C: a check with the engine running ends here. Well past the band, well short of boiling.
  std::optional<double> switch_off_c;
};

/// The word of the profile, where it is one that is known here.
std::optional<FanDrive> fan_of(const VehicleProfile& profile);
/// An electric fan, or one of which nobody knows that it is none.
bool may_start_by_itself(const std::optional<FanDrive>& fan);

/// From the profile that the trip carries, its band and its job card. Words of the profile that are
/// not known here ("fan": "hydraulic") count as unknown.
JobFacts facts_of(const ReportedTrip& trip);

} // namespace coolband
