// SPDX-License-Identifier: Apache-2.0
// Reading `coolband.vehicle/1`.
#include "coolband/band/vehicle_profile.hpp"

#include "band/json_fields.hpp"
#include "core/text_file.hpp"

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

constexpr Range k_temperature_c{30.0, 130.0};

/// A group of fields such as "thermostat"; an empty object when it is absent.
Json group(FieldReader& reader, const Json& json, const std::string& key) {
  const auto found = json.find(key);
  if (found == json.end() || found->is_null()) return Json::object();
  if (!found->is_object()) {
    reader.complain(key, "must be an object");
    return Json::object();
  }
  return *found;
}

void read_cooling(FieldReader& reader, const Json& cooling, VehicleProfile& profile) {
  profile.capacity_l = reader.number(cooling, "capacity_l", {0.5, 500.0});
  profile.cap_kpa = reader.number(cooling, "cap_kpa", {0.0, 300.0});
  profile.concentration_vol_pct = reader.number(cooling, "concentration_vol_pct", {0.0, 60.0});
  profile.fan = reader.text(cooling, "fan");
  const auto glycol = reader.text(cooling, "glycol");
  if (!glycol) return;
  if (*glycol == "ethylene")
    profile.glycol = Glycol::ethylene;
  else if (*glycol == "propylene")
    profile.glycol = Glycol::propylene;
  else if (*glycol == "none")
    profile.glycol = Glycol::none;
  else
    reader.complain("glycol", "must be ethylene, propylene or none");
}

} // namespace

Result<VehicleProfile> parse_profile(const std::string& text, const std::string& name) {
  const auto json = parse_schema(text, name, "coolband.vehicle/1");
  if (!json) return json.error();
  FieldReader reader(name);
  VehicleProfile profile;
  profile.json = text;
  profile.id = reader.required_text(*json, "id");
  profile.label = reader.text(*json, "label");
  profile.odometer_km = reader.number(*json, "odometer_km", {0.0, 1e7});
  const Json thermostat = group(reader, *json, "thermostat");
  profile.thermostat_opens_c = reader.number(thermostat, "opens_c", k_temperature_c);
  profile.thermostat_full_open_c = reader.number(thermostat, "full_open_c", k_temperature_c);
  if (profile.thermostat_opens_c && profile.thermostat_full_open_c &&
      *profile.thermostat_full_open_c <= *profile.thermostat_opens_c)
    reader.complain("full_open_c", "must be above opens_c");
  const Json normal = group(reader, *json, "normal");
  profile.normal_centre_c = reader.number(normal, "centre_c", k_temperature_c);
  profile.normal_tolerance_c = reader.number(normal, "tolerance_c", {0.5, 20.0});
  read_cooling(reader, group(reader, *json, "cooling"), profile);
  if (reader.complaint()) return *reader.complaint();
  return profile;
}

Result<VehicleProfile> read_profile(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return text.error();
  return parse_profile(*text, path);
}

} // namespace coolband
