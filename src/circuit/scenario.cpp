// SPDX-License-Identifier: Apache-2.0
// The names of stretches, and what is impossible about a scenario.
#include "circuit/scenario.hpp"

#include <array>
#include <cmath>
#include <string_view>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr auto k_route_names = std::to_array<std::pair<RouteKind, std::string_view>>({
    {RouteKind::idle, "idle"},
    {RouteKind::town, "town"},
    {RouteKind::road, "road"},
    {RouteKind::highway, "highway"},
    {RouteKind::climb, "climb"},
    {RouteKind::descent, "descent"},
    {RouteKind::track, "track"},
    {RouteKind::sand, "sand"},
    {RouteKind::stop, "stop"},
});

/// Keeps the first thing that is wrong.
class Problems {
 public:
  void say(std::string field, std::string what, std::string remedy = {}) {
    if (!first_) first_ = ScenarioProblem{std::move(field), std::move(what), std::move(remedy)};
  }

  /// Not a number is outside of any range.
  void bound(const std::string& field, double value, double low, double high) {
    if (!(value >= low && value <= high))
      say(field, fmt::format("is {}, outside {} to {}", value, low, high));
  }

  void bound(const std::string& field, const std::optional<double>& value, double low,
             double high) {
    if (value) bound(field, *value, low, high);
  }

  [[nodiscard]] const std::optional<ScenarioProblem>& first() const { return first_; }

 private:
  std::optional<ScenarioProblem> first_;
};

void look_at_vehicle(Problems& problems, const Scenario& scenario) {
  if (const auto what = invalid(scenario.circuit)) { // "span_k = 0: must be above 0"
    const std::size_t equals = what->find(" = ");
    problems.say("vehicle." + what->substr(0, equals), "is " + what->substr(equals + 3));
  }
  const Body& body = scenario.body;
  problems.bound("vehicle.engine.rated_power_kw", body.rated_power_kw, 5.0, 1000.0);
  problems.bound("vehicle.body.mass_kg", body.mass_kg, 200.0, 60000.0);
  problems.bound("vehicle.body.drag_area_m2", body.drag_area_m2, 0.1, 12.0);
  problems.bound("vehicle.body.rolling", body.rolling, 0.003, 0.1);
  problems.bound("vehicle.body.top_gear_rpm_per_kmh", body.top_gear_rpm_per_kmh, 8.0, 80.0);
}

void look_at_surroundings(Problems& problems, const Scenario& scenario) {
  problems.bound("weather.ambient_c", scenario.weather.ambient_c, -60.0, 60.0);
  problems.bound("weather.change_c_per_h", scenario.weather.change_c_per_h, -20.0, 20.0);
  problems.bound("weather.headwind_kmh", scenario.weather.headwind_kmh, -150.0, 150.0);
  problems.bound("comfort.heater", scenario.comfort.heater, 0.0, 1.0);
  problems.bound("start.altitude_m", scenario.start_altitude_m, -400.0, 5000.0);
  if (!std::isnan(scenario.start_c))
    problems.bound("start.engine_c", scenario.start_c, -60.0, 120.0);
}

void look_at_phase(Problems& problems, const RoutePhase& phase, const std::string& field) {
  if (!(phase.minutes > 0.0 && phase.minutes <= k_longest_drive_min)) {
    problems.say(field + ".minutes", fmt::format("is {}", phase.minutes),
                 fmt::format("give more than 0 and at most {} minutes", k_longest_drive_min));
  }
  const bool stands = phase.kind == RouteKind::idle || phase.kind == RouteKind::stop;
  if (stands && phase.speed_kmh) {
    problems.say(field + ".speed_kmh", fmt::format("is given for '{}'", name_of(phase.kind)),
                 "leave it out: the vehicle stands there");
  }
  problems.bound(field + ".speed_kmh", phase.speed_kmh, 3.0, 200.0);
  problems.bound(field + ".grade_pct", phase.grade_pct, -25.0, 25.0);
  problems.bound(field + ".trailer_kg", phase.trailer_kg, 0.0, 40000.0);
}

void look_at_route(Problems& problems, const Scenario& scenario) {
  if (scenario.route.empty()) problems.say("route", "is empty", "give at least one stretch");
  double minutes = 0.0;
  for (std::size_t i = 0; i < scenario.route.size(); ++i) {
    look_at_phase(problems, scenario.route[i], fmt::format("route[{}]", i));
    minutes += scenario.route[i].minutes;
  }
  if (!(minutes <= k_longest_drive_min)) {
    problems.say("route", fmt::format("takes {} minutes", minutes),
                 fmt::format("at most {} can be simulated at a time", k_longest_drive_min));
  }
}

void look_at_times(Problems& problems, const std::string& field, double from_s, double to_s) {
  constexpr double k_never = std::numeric_limits<double>::infinity();
  problems.bound(field + ".from_s", from_s, 0.0, k_longest_drive_min * 60.0);
  problems.bound(field + ".to_s", to_s, 0.0, k_never);
  if (from_s >= to_s) {
    problems.say(field + ".to_s", fmt::format("is {}, not after from_s, {}", to_s, from_s),
                 "let it end after it begins");
  }
}

void look_at_faults(Problems& problems, const Scenario& scenario) {
  for (std::size_t i = 0; i < scenario.faults.size(); ++i) {
    const FaultPlan& fault = scenario.faults[i];
    const std::string field = fmt::format("faults[{}]", i);
    problems.bound(field + ".severity", fault.severity, 0.0, k_most_severe);
    look_at_times(problems, field, fault.from_s, fault.to_s);
    if (!fault.spells) continue;
    problems.bound(field + ".spells.on_s", fault.spells->on_s, 1.0, 1e6);
    problems.bound(field + ".spells.off_s", fault.spells->off_s, 1.0, 1e6);
  }
}

void look_at_logging(Problems& problems, const Logging& logging) {
  const double steps = logging.period_s / k_simulation_step_s;
  problems.bound("logging.period_s", logging.period_s, k_simulation_step_s, 86400.0);
  if (steps != std::floor(steps)) {
    problems.say("logging.period_s", fmt::format("is {}", logging.period_s),
                 fmt::format("give a multiple of {} s", k_simulation_step_s));
  }
  problems.bound("logging.resolution_c", logging.sensor.resolution_c, 0.0, 20.0);
  problems.bound("logging.noise_c", logging.sensor.noise_c, 0.0, 20.0);
  problems.bound("logging.sensor_lag_s", logging.sensor.lag_s, 0.0, 600.0);
  problems.bound("logging.ambient_resolution_c", logging.ambient_resolution_c, 0.0, 20.0);
  problems.bound("logging.missing_share", logging.missing_share, 0.0, 1.0);
  for (std::size_t i = 0; i < logging.gaps.size(); ++i) {
    look_at_times(problems, fmt::format("logging.gaps[{}]", i), logging.gaps[i].from_s,
                  logging.gaps[i].to_s);
  }
}

} // namespace

std::string_view name_of(RouteKind kind) {
  for (const auto& [known, name] : k_route_names) {
    if (known == kind) return name;
  }
  return {};
}

std::optional<RouteKind> route_named(std::string_view name) {
  for (const auto& [kind, known] : k_route_names) {
    if (known == name) return kind;
  }
  return std::nullopt;
}

std::optional<ScenarioProblem> problem_in(const Scenario& scenario, ScenarioPart part) {
  Problems problems;
  look_at_vehicle(problems, scenario);
  if (part == ScenarioPart::vehicle) return problems.first();
  look_at_surroundings(problems, scenario);
  look_at_route(problems, scenario);
  look_at_faults(problems, scenario);
  look_at_logging(problems, scenario.logging);
  return problems.first();
}

} // namespace coolband
