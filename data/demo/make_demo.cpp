// SPDX-License-Identifier: Apache-2.0
// Writes the demo logs and profiles of an invented moor's ranger vehicles: make_demo FOLDER.
// The same bytes every time; data/demo/README.md says what each file is meant to show.
#include "log_styles.hpp"
#include "support/drive_simulator.hpp"

#include <fmt/format.h>

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

namespace {

using namespace coolband::testing;
using Legs = std::vector<Leg>;

// ---- the three vehicles ----

Vehicle warden_1() { // diesel van
  Vehicle v;
  v.opens_c = 83.0;
  v.span_c = 12.0;
  v.engine_kj_per_k = 140.0;
  v.full_heat_kw = 62.0;
  v.fan = FanKind::electric;
  v.fan_on_c = 98.0;
  v.fan_off_c = 93.0;
  v.mass_kg = 2700.0;
  v.drag_area_m2 = 1.5;
  v.rated_power_kw = 96.0;
  v.boils_c = 124.0;
  return v;
}

Vehicle warden_2() { return {}; } // diesel 4x4, thermostat stamped 76

Vehicle warden_3() { // petrol utility
  Vehicle v;
  v.opens_c = 88.0;
  v.span_c = 10.0;
  v.engine_kj_per_k = 115.0;
  v.radiator_kj_per_k = 13.0;
  v.full_heat_kw = 52.0;
  v.radiator_ua_kw_per_k = 1.0;
  v.radiator_area_m2 = 0.22;
  v.fan = FanKind::electric;
  v.fan_on_c = 101.0;
  v.fan_off_c = 96.0;
  v.mass_kg = 1750.0;
  v.drag_area_m2 = 0.95;
  v.rated_power_kw = 78.0;
  v.rated_rpm = 4800.0;
  v.sensor_step_c = 0.5;
  v.boils_c = 126.0;
  return v;
}

struct ProfileFacts {
  std::string id;
  std::string label;
  int odometer_km = 0;
  std::string fuel;
  double displacement_l = 0.0;
  double capacity_l = 0.0;
  int cap_kpa = 0;
  double centre_c = 0.0;
  std::string invented = "INVENTED: a vehicle of the Tarn Vale demo";
};

std::string profile_text(const ProfileFacts& facts, const Vehicle& vehicle) {
  return fmt::format(
      R"({{
  "schema": "coolband.vehicle/1",
  "id": "{}",
  "label": "{}",
  "note": "{}",
  "odometer_km": {},
  "engine": {{"fuel": "{}", "displacement_l": {:.1f}, "rated_power_kw": {:.0f}}},
  "thermostat": {{"opens_c": {:.0f}, "full_open_c": {:.0f}, "position": "outlet", "kind": "wax"}},
  "cooling": {{"capacity_l": {:.1f}, "cap_kpa": {}, "glycol": "ethylene",
              "concentration_vol_pct": 50, "fan": "{}"}},
  "normal": {{"centre_c": {:.0f}, "tolerance_c": 3}}
}}
)",
      facts.id, facts.label, facts.invented, facts.odometer_km, facts.fuel, facts.displacement_l,
      vehicle.rated_power_kw, vehicle.opens_c, vehicle.opens_c + vehicle.span_c, facts.capacity_l,
      facts.cap_kpa, vehicle.fan == FanKind::viscous ? "viscous" : "electric", facts.centre_c);
}

// ---- the drives ----

DrivePlan plan(std::uint64_t seed, double ambient_c, Legs legs, double sample_period_s = 2.0) {
  DrivePlan made;
  made.seed = seed;
  made.legs = std::move(legs);
  made.ambient_c = ambient_c;
  made.start_c = ambient_c + 1.0;
  made.altitude_m = 240.0;
  made.sample_period_s = sample_period_s;
  return made;
}

DrivePlan towing(DrivePlan made, double extra_mass_kg) {
  made.extra_mass_kg = extra_mass_kg;
  return made;
}

DrivePlan restarted(DrivePlan made, double start_c) {
  made.start_c = start_c;
  return made;
}

constexpr LegKind k_idle = LegKind::idle;
constexpr LegKind k_town = LegKind::town;
constexpr LegKind k_road = LegKind::road;
constexpr LegKind k_fast = LegKind::motorway;
constexpr LegKind k_climb = LegKind::climb;
constexpr LegKind k_down = LegKind::descent;

/// Seven fair drives, one steep one, and one bad apple: 2031-01-18, valve hanging open.
std::vector<Scene> normal_drives_of_2() {
  const Style snake = Style::csv_snake;
  const auto file = [](std::string_view date) { return fmt::format("normal/{}.csv", date); };
  std::vector<Scene> scenes{
      {file("2031-01-09"),
       snake,
       "2031-01-09",
       462,
       plan(2101, -5.0, {{k_town, 6}, {k_road, 22}, {k_fast, 8}, {k_road, 8}}),
       {}},
      {file("2031-01-18"),
       snake,
       "2031-01-18",
       501,
       plan(2102, 6.0, {{k_town, 6}, {k_road, 20}, {k_town, 6}, {k_road, 8}}),
       {Fault::stuck_open}},
      {file("2031-02-14"),
       snake,
       "2031-02-14",
       475,
       plan(2103, 2.0, {{k_idle, 3}, {k_road, 20}, {k_town, 8}, {k_fast, 10}}),
       {}},
      {file("2031-03-21"),
       snake,
       "2031-03-21",
       548,
       restarted(plan(2104, 8.0, {{k_road, 16}, {k_climb, 5}, {k_down, 4}, {k_road, 10}}), 51.0),
       {}},
      {file("2031-05-06"),
       snake,
       "2031-05-06",
       430,
       plan(2105, 14.0, {{k_town, 8}, {k_road, 18}, {k_idle, 5}, {k_fast, 12}, {k_road, 8}}),
       {}},
      {file("2031-06-18"),
       snake,
       "2031-06-18",
       815,
       plan(2106, 22.0, {{k_road, 18}, {k_town, 12}, {k_road, 10}}),
       {}},
      {file("2031-07-30"),
       snake,
       "2031-07-30",
       882,
       plan(2107, 32.0, {{k_town, 8}, {k_fast, 14}, {k_road, 12}, {k_idle, 4}}),
       {}},
      {file("2031-09-12"),
       snake,
       "2031-09-12",
       590,
       towing(
           plan(2108, 18.0, {{k_road, 17}, {k_climb, 10}, {k_idle, 3}, {k_down, 8}, {k_road, 10}}),
           700.0),
       {}},
      {file("2031-10-25"),
       snake,
       "2031-10-25",
       446,
       plan(2109, 11.0, {{k_town, 10}, {k_road, 20}, {k_fast, 8}, {k_town, 6}}),
       {}},
  };
  return scenes;
}

/// One trip of each kind that a check should tell apart.
std::vector<Scene> trips_of_2() {
  const Style prose = Style::csv_prose;
  const Legs usual{{k_town, 6}, {k_road, 18}, {k_town, 6}, {k_fast, 8}};
  std::vector<Scene> scenes{
      {"trips/normal.csv", prose, "2032-03-02", 470, plan(2201, 10.0, usual), {}},
      {"trips/heavy-climb.csv",
       prose,
       "2032-07-19",
       610,
       towing(plan(2202, 28.0, {{k_road, 15}, {k_climb, 14}, {k_idle, 3}, {k_down, 6}}), 1500.0),
       {}},
      {"trips/cold-morning.csv",
       prose,
       "2032-01-27",
       425,
       plan(2203, -15.0, {{k_idle, 26}, {k_town, 9}}),
       {}},
      {"trips/hot-day.csv",
       prose,
       "2032-08-04",
       850,
       plan(2204, 37.0, {{k_town, 8}, {k_road, 14}, {k_town, 8}, {k_idle, 6}}),
       {}},
      {"trips/stuck-open.csv",
       prose,
       "2032-05-03",
       470,
       plan(2205, 19.0, usual),
       {Fault::stuck_open}},
      {"trips/stuck-closed.csv",
       prose,
       "2032-04-05",
       470,
       plan(2206, 15.0, usual),
       {Fault::stuck_closed}},
      {"trips/sticking.csv",
       prose,
       "2032-04-20",
       470,
       plan(2207, 14.0, {{k_town, 6}, {k_road, 22}, {k_town, 6}, {k_fast, 10}}),
       {Fault::sticking}},
      {"trips/sensor-fault.csv",
       prose,
       "2032-05-11",
       470,
       plan(2208, 16.0, usual),
       {Fault::sensor_jumps, 1.0, 420.0}},
      {"trips/too-short.csv", prose, "2032-05-12", 745, plan(2209, 16.0, {{k_town, 4}}), {}},
  };
  return scenes;
}

/// The demo trip: all is well for 25 minutes, then the thermostat begins to stick.
std::vector<Scene> tour() {
  return {{"tour.csv",
           Style::csv_snake,
           "2031-11-08",
           555,
           plan(2305, 13.0, {{k_town, 5}, {k_road, 20}, {k_fast, 8}, {k_road, 17}}),
           {Fault::sticking, 1.0, 1500.0}}};
}

std::vector<Scene> drives_of_1() {
  const auto normal = [](std::uint64_t seed, double ambient_c, Legs legs) {
    return plan(seed, ambient_c, std::move(legs), 5.0);
  };
  std::vector<Scene> scenes{
      {"normal/run-01.jsonl",
       Style::json_lines,
       "",
       0,
       normal(1101, 4.0, {{k_town, 18}, {k_road, 16}, {k_town, 6}}),
       {}},
      {"normal/run-02.json",
       Style::json_array,
       "",
       0,
       normal(1102, 12.0, {{k_town, 14}, {k_road, 12}, {k_fast, 10}}),
       {}},
      {"normal/run-03.json",
       Style::json_columns,
       "",
       0,
       normal(1103, 19.0, {{k_town, 20}, {k_road, 14}, {k_idle, 4}}),
       {}},
      {"normal/run-04.jsonl",
       Style::json_lines,
       "",
       0,
       normal(1104, 26.0, {{k_town, 16}, {k_fast, 16}, {k_town, 6}}),
       {}},
      {"normal/run-05.jsonl",
       Style::json_lines,
       "",
       0,
       normal(1105, 9.0, {{k_town, 12}, {k_road, 20}, {k_town, 8}}),
       {}},
      {"trips/stuck-open.jsonl",
       Style::json_lines,
       "",
       0,
       normal(1106, 11.0, {{k_town, 12}, {k_road, 18}, {k_town, 6}}),
       {Fault::stuck_open}},
  };
  return scenes;
}

std::vector<Scene> drives_of_3() {
  const auto at = [](std::uint64_t seed, double ambient_c, Legs legs) {
    return plan(seed, ambient_c, std::move(legs), 5.0);
  };
  const Style comma = Style::csv_comma;
  std::vector<Scene> scenes{
      {"normal/2030-04-11.csv",
       comma,
       "2030-04-11",
       505,
       at(3101, 9.0, {{k_road, 20}, {k_fast, 20}, {k_town, 5}}),
       {}},
      {"normal/2030-05-23.csv",
       comma,
       "2030-05-23",
       640,
       at(3102, 17.0, {{k_town, 6}, {k_road, 28}, {k_fast, 10}}),
       {}},
      {"normal/2030-07-08.csv",
       comma,
       "2030-07-08",
       560,
       at(3103, 25.0, {{k_road, 16}, {k_fast, 24}}),
       {}},
      {"normal/2030-09-30.csv",
       comma,
       "2030-09-30",
       445,
       at(3104, 13.0, {{k_town, 5}, {k_road, 20}, {k_fast, 12}, {k_road, 10}}),
       {}},
      {"trips/sticking.csv",
       comma,
       "2030-11-05",
       470,
       at(3205, 8.0, {{k_town, 6}, {k_road, 24}, {k_fast, 14}}),
       {Fault::sticking}},
  };
  return scenes;
}

// ---- files ----

bool write_file(const std::filesystem::path& path, std::string_view text) {
  std::error_code error;
  std::filesystem::create_directories(path.parent_path(), error);
  std::ofstream out(path, std::ios::binary);
  out << text;
  out.close();
  if (!out) fmt::print(stderr, "make_demo: cannot write {}\n", path.string());
  return static_cast<bool>(out);
}

bool write_scenes(const std::filesystem::path& folder, const std::vector<Scene>& scenes,
                  const Vehicle& vehicle, std::string_view name) {
  for (const Scene& scene : scenes) {
    if (!write_file(folder / scene.file, scene_text(scene, vehicle, name))) return false;
  }
  return true;
}

bool write_profiles(const std::filesystem::path& folder) {
  const auto write = [&](const ProfileFacts& facts, const Vehicle& vehicle) {
    return write_file(folder / (facts.id + ".json"), profile_text(facts, vehicle));
  };
  return write({"warden-1", "Diesel van, valley rounds", 184300, "diesel", 2.3, 9.5, 110, 87.0},
               warden_1()) &&
         write({"warden-2", "Diesel 4x4, moor and tours", 231700, "diesel", 2.8, 11.5, 95, 80.0},
               warden_2()) &&
         write({"warden-3", "Petrol utility, outlying farms", 96500, "petrol", 1.8, 6.5, 120, 91.0},
               warden_3());
}

} // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    fmt::print(stderr, "usage: make_demo FOLDER\n");
    return 2;
  }
  const std::filesystem::path folder = argv[1];
  const bool good =
      write_profiles(folder) &&
      write_scenes(folder / "warden-1", drives_of_1(), warden_1(), "warden-1") &&
      write_scenes(folder / "warden-2", normal_drives_of_2(), warden_2(), "warden-2") &&
      write_scenes(folder / "warden-2", trips_of_2(), warden_2(), "warden-2") &&
      write_scenes(folder / "warden-3", drives_of_3(), warden_3(), "warden-3") &&
      write_scenes(folder, tour(), warden_2(), "warden-2");
  return good ? 0 : 4;
}
