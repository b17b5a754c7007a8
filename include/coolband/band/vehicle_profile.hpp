// SPDX-License-Identifier: Apache-2.0
// What is known of a vehicle without any log: `coolband.vehicle/1`.
#pragma once

#include "coolband/circuit/coolant_fluid.hpp"
#include "coolband/core/result.hpp"

#include <optional>
#include <string>

namespace coolband {

/// Every field but `id` may be unknown.
struct VehicleProfile {
  std::string id;
  std::optional<std::string> label;
  std::optional<double> odometer_km;
  std::optional<double> thermostat_opens_c; ///< rating stamped on the thermostat
  std::optional<double> thermostat_full_open_c;
  std::optional<double> capacity_l;
  std::optional<double> cap_kpa; ///< gauge pressure of the cap
  std::optional<Glycol> glycol;
  std::optional<double> concentration_vol_pct;
  std::optional<std::string> fan;        ///< "viscous", "electric" or "fixed"
  std::optional<double> normal_centre_c; ///< normal as its driver states it
  std::optional<double> normal_tolerance_c;
  std::string json; ///< the whole file, so that fields unknown to this version are kept
};

/// Reads a profile. Errors (kind usage: a profile is configuration) name the file, the place and
/// the field: not JSON, another or a newer schema, no id, a field of the wrong type or out of
/// range.
Result<VehicleProfile> read_profile(const std::string& path);
Result<VehicleProfile> parse_profile(const std::string& text, const std::string& name);

} // namespace coolband
