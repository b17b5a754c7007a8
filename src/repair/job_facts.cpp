// SPDX-License-Identifier: Apache-2.0
// From a profile, a band and a job card to what a job needs.
#include "repair/job_facts.hpp"

#include <algorithm>
#include <string>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

/// A text of the profile's thermostat that the profile itself does not judge.
std::string thermostat_text(const VehicleProfile& profile, const char* key) {
  const Json json = Json::parse(profile.json, nullptr, false);
  if (!json.is_object() || !json.contains("thermostat")) return {};
  const Json& thermostat = json["thermostat"];
  if (!thermostat.is_object() || !thermostat.contains(key) || !thermostat[key].is_string())
    return {};
  return thermostat[key].get<std::string>();
}

std::optional<ThermostatSide> side_of(const VehicleProfile& profile) {
  const std::string word = thermostat_text(profile, "position");
  if (word == "inlet") return ThermostatSide::inlet;
  if (word == "outlet") return ThermostatSide::outlet;
  return std::nullopt;
}

std::optional<double> odometer_on(const JobCard& job) {
  const auto field = std::find_if(job.begin(), job.end(),
                                  [](const JobField& f) { return f.key == "odometer_km"; });
  if (field == job.end()) return std::nullopt;
  if (const auto* whole = std::get_if<std::int64_t>(&field->value))
    return static_cast<double>(*whole);
  if (const auto* number = std::get_if<double>(&field->value)) return *number;
  return std::nullopt;
}

/// Common practice, no source.
std::optional<double> switch_off_c(const ReportedTrip& trip) {
  constexpr double k_past_normal_k = 10.0;
  constexpr double k_short_of_boiling_k = 15.0;
  std::optional<double> limit_c;
  if (trip.normal_to_c) limit_c = *trip.normal_to_c + k_past_normal_k;
  if (trip.boils_c) {
    const double safe_c = *trip.boils_c - k_short_of_boiling_k;
    limit_c = std::min(limit_c.value_or(safe_c), safe_c);
  }
  return limit_c;
}

void take_profile(const VehicleProfile& profile, JobFacts& facts) {
  facts.opens_c = profile.thermostat_opens_c;
  facts.full_open_c = profile.thermostat_full_open_c;
  facts.cap_kpa = profile.cap_kpa;
  facts.capacity_l = profile.capacity_l;
  facts.glycol = profile.glycol;
  facts.concentration_pct = profile.concentration_vol_pct;
  facts.fan = fan_of(profile);
  facts.valve_side = side_of(profile);
  facts.mapped = thermostat_text(profile, "kind") == "mapped";
  facts.odometer_km = profile.odometer_km;
}

} // namespace

std::optional<FanDrive> fan_of(const VehicleProfile& profile) {
  const std::string word = profile.fan.value_or("");
  if (word == "electric") return FanDrive::electric;
  if (word == "viscous") return FanDrive::viscous;
  if (word == "fixed") return FanDrive::fixed;
  return std::nullopt;
}

bool may_start_by_itself(const std::optional<FanDrive>& fan) {
  return fan != FanDrive::viscous && fan != FanDrive::fixed;
}

JobFacts facts_of(const ReportedTrip& trip) {
  JobFacts facts;
  if (trip.profile) take_profile(*trip.profile, facts);
  if (!facts.opens_c && trip.band_opens_c) {
    facts.opens_c = trip.band_opens_c;
    facts.opens_by_band = true;
  }
  facts.switch_off_c = switch_off_c(trip);
  if (const auto odometer_km = odometer_on(trip.job)) facts.odometer_km = odometer_km;
  return facts;
}

} // namespace coolband
