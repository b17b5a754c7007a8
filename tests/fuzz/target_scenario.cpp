// SPDX-License-Identifier: Apache-2.0
// Scenarios: read, written out in full and read again, and driven for a while.
#include "fuzz/properties.hpp"
#include "fuzz/scenario_told.hpp"
#include "support/scenario_text.hpp"

#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

namespace coolband::testing {

namespace {

const std::string k_scenario_name = "drive.json";
constexpr double k_driven_min = 1.0;

/// A vehicle in another file is for the target of profiles: here, no file is opened.
bool names_a_file(const std::string& text) {
  const auto json = nlohmann::ordered_json::parse(text, nullptr, false);
  return json.is_object() && json.contains("vehicle") && json["vehicle"].is_string();
}

void check_row(const SimulatedRow& row) {
  for (const double value :
       {row.time_s, row.ambient_c, row.load_pct, row.rpm, row.speed_kmh, row.altitude_m})
    require(std::isfinite(value), "a simulated row is finite");
  require(!std::isinf(row.coolant_c), "a simulated reading is finite or missing");
  require(row.load_pct >= 0.0 && row.load_pct <= 100.0, "load is a percentage");
  require(row.rpm >= 0.0 && row.speed_kmh >= 0.0, "nothing turns or rolls backwards");
  require(std::isnan(row.coolant_c) || (row.coolant_c >= -40.0 && row.coolant_c <= 215.0),
          "a sensor reads within its range");
}

/// Its first minutes are driven: whatever is accepted can be simulated.
void check_drive(Scenario scenario) {
  double left_min = k_driven_min;
  for (RoutePhase& phase : scenario.route) {
    phase.minutes = std::min(phase.minutes, std::max(left_min, 0.01));
    left_min -= phase.minutes;
  }
  if (scenario.route.size() > 20 || scenario.faults.size() > 20) return;
  const auto error = simulate(scenario, check_row);
  require(!error, "what is accepted can be simulated");
}

} // namespace

void run_scenario(std::string_view bytes) {
  const std::string text(bytes);
  if (names_a_file(text)) return;
  const auto file = cli::parse_scenario(text, k_scenario_name);
  if (!file) return check_file_error(file.error(), text, k_scenario_name);
  const Told first = told_of(*file);
  first.require_finite();
  const std::string written = scenario_text(file->scenario, file->clock);
  const auto again = cli::parse_scenario(written, k_scenario_name);
  require(again.ok(), "written out in full it is accepted: " +
                          (again ? std::string() : describe(again.error())));
  told_of(*again).require_same(first, "written out in full");
  check_drive(file->scenario);
}

} // namespace coolband::testing
