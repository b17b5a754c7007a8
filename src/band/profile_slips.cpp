// SPDX-License-Identifier: Apache-2.0
// Slips in `coolband.vehicle/1`.
#include "band/profile_slips.hpp"

#include "core/suggest.hpp"

#include <algorithm>
#include <span>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;
using Names = std::vector<std::string>;

struct Group {
  const char* name; ///< empty: the file itself
  Names fields;
};

const std::vector<Group>& groups() {
  static const std::vector<Group> all{
      {"",
       {"schema", "id", "label", "odometer_km", "engine", "thermostat", "cooling", "normal",
        "body"}},
      {"engine", {"fuel", "displacement_l", "rated_power_kw"}},
      {"thermostat", {"opens_c", "full_open_c", "position", "kind"}},
      {"cooling", {"capacity_l", "cap_kpa", "glycol", "concentration_vol_pct", "fan"}},
      {"normal", {"centre_c", "tolerance_c"}}};
  return all;
}

std::string without_unit(const std::string& field) { return field.substr(0, field.rfind('_')); }

/// The field that `key` may have been meant for, of those that the group has not; or "".
std::string meant_by(const std::string& key, const Json& group, const Names& fields) {
  Names open;
  for (const std::string& field : fields) {
    if (field == key) return "";
    if (!group.contains(field)) open.push_back(field);
  }
  std::string near = nearest(key, open);
  if (!near.empty()) return near;
  const auto other_unit = std::find_if(open.begin(), open.end(), [&](const std::string& field) {
    return field.find('_') != std::string::npos &&
           (key == without_unit(field) || without_unit(key) == without_unit(field));
  });
  return other_unit == open.end() ? "" : *other_unit;
}

} // namespace

std::vector<std::string> profile_slips(const VehicleProfile& profile) {
  std::vector<std::string> slips;
  const Json json = Json::parse(profile.json, nullptr, false);
  for (const Group& group : groups()) {
    const std::string name = group.name;
    if (!json.is_object() || (!name.empty() && !json.contains(name))) continue;
    const Json& fields = name.empty() ? json : json[name];
    if (!fields.is_object()) continue;
    for (const auto& field : fields.items()) {
      const std::string meant = meant_by(field.key(), fields, group.fields);
      if (meant.empty()) continue;
      slips.push_back(
          fmt::format("\"{}\"{} is no known field and is passed over: did you mean \"{}\"?",
                      field.key(), name.empty() ? "" : fmt::format(" in \"{}\"", name), meant));
    }
  }
  if (profile.cap_kpa && *profile.cap_kpa > 0.0 && *profile.cap_kpa < k_lowest_likely_cap_kpa)
    slips.push_back(fmt::format("cap_kpa = {:g} is unusually weak: 1 bar is 100 kPa, 1 psi 6.9 kPa",
                                *profile.cap_kpa));
  return slips;
}

} // namespace coolband
