// SPDX-License-Identifier: Apache-2.0
// Vehicle profiles: by themselves, as a band, and as the vehicle of a scenario.
#include "cli/scenario_file.hpp"
#include "fuzz/file_properties.hpp"
#include "fuzz/properties.hpp"

#include <filesystem>
#include <fstream>

#include <fmt/core.h>
#include <unistd.h>

namespace coolband::testing {

namespace {

const std::string k_profile_name = "vehicle.json";

Told told(const VehicleProfile& profile) {
  Told told;
  for (const auto& text : {std::optional(profile.id), profile.label, profile.fan})
    told.maybe_word(text);
  for (const auto& value :
       {profile.odometer_km, profile.thermostat_opens_c, profile.thermostat_full_open_c,
        profile.capacity_l, profile.cap_kpa, profile.concentration_vol_pct, profile.normal_centre_c,
        profile.normal_tolerance_c})
    told.number(value);
  told.number(profile.glycol ? static_cast<double>(*profile.glycol) : -1.0);
  return told;
}

/// A file of this process, as targets run beside each other.
const std::string& file_with(const std::string& text) {
  static const std::string path =
      (std::filesystem::temp_directory_path() / fmt::format("coolband-fuzz-{}.json", getpid()))
          .string();
  std::ofstream(path, std::ios::binary) << text;
  return path;
}

/// A scenario takes what a profile holds from the profile's file, and complains of that file.
void check_in_scenario(const std::string& text) {
  const std::string& path = file_with(text);
  const std::string scenario = fmt::format(R"({{"schema": "coolband.scenario/1", "vehicle": "{}",
                      "route": [{{"kind": "road", "minutes": 1}}]}})",
                                           path);
  const auto file = cli::parse_scenario(scenario, "scenario.json");
  std::filesystem::remove(path);
  if (!file) check_file_error(file.error(), text, path);
}

} // namespace

void run_profile(std::string_view bytes) {
  const std::string text(bytes);
  check_in_scenario(text);
  const auto profile = parse_profile(text, k_profile_name);
  if (!profile) return check_file_error(profile.error(), text, k_profile_name);
  const Told first = told(*profile);
  first.require_finite();
  require(profile->json == text, "a profile is kept as it is");
  const auto spaced = respaced(text);
  require(spaced.has_value(), "a profile is JSON");
  const auto again = parse_profile(*spaced, k_profile_name);
  require(again.ok(), "a profile with other blanks is one");
  told(*again).require_same(first, "with other blanks");
  if (const auto band = band_from_profile(*profile)) check_band_file(*band);
}

} // namespace coolband::testing
