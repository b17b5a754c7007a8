// SPDX-License-Identifier: Apache-2.0
// Names of stretches, and impossible scenarios: each is refused naming its field.
#include "circuit/scenario.hpp"

#include <doctest/doctest.h>

#include <functional>
#include <limits>
#include <set>
#include <string>

using namespace coolband;

namespace {

constexpr double k_nan = std::numeric_limits<double>::quiet_NaN();

Scenario possible() {
  Scenario scenario;
  scenario.route = {{RouteKind::road, 5.0, {}, {}, 0.0}, {RouteKind::stop, 2.0, {}, {}, 0.0}};
  scenario.faults = {{FaultKind::fan_dead}};
  scenario.logging.gaps = {{10.0, 20.0}};
  return scenario;
}

/// The field that is complained of after `spoil`; empty: nothing is.
std::string refused(const std::function<void(Scenario&)>& spoil) {
  Scenario scenario = possible();
  spoil(scenario);
  const auto problem = problem_in(scenario);
  if (!problem) return "";
  CHECK_FALSE(problem->what.empty());
  const auto error = simulate(scenario, [](const SimulatedRow&) { FAIL("a row was driven"); });
  REQUIRE(error);
  CHECK(error->kind == ErrorKind::usage);
  CHECK(error->message == problem->field + " " + problem->what);
  return problem->field;
}

} // namespace

TEST_CASE("every kind of stretch has a name of its own that leads back to it") {
  std::set<std::string> names;
  for (int i = 0; i <= static_cast<int>(RouteKind::stop); ++i) {
    const auto kind = static_cast<RouteKind>(i);
    names.emplace(name_of(kind));
    CHECK(route_named(name_of(kind)) == kind);
  }
  CHECK(names.size() == static_cast<std::size_t>(RouteKind::stop) + 1);
  CHECK_FALSE(route_named("motorway"));
}

TEST_CASE("a possible scenario is not complained of") {
  CHECK(refused([](Scenario&) {}).empty());
  CHECK(refused([](Scenario& s) { s.faults[0].severity = k_most_severe; }).empty());
  CHECK(refused([](Scenario& s) { s.logging.missing_share = 1.0; }).empty());
  CHECK(refused([](Scenario& s) { s.logging.sensor.resolution_c = 0.0; }).empty());
}

TEST_CASE("an impossible route is refused naming its field") {
  CHECK(refused([](Scenario& s) { s.route.clear(); }) == "route");
  CHECK(refused([](Scenario& s) { s.route[1].minutes = 0.0; }) == "route[1].minutes");
  CHECK(refused([](Scenario& s) { s.route[0].minutes = -3.0; }) == "route[0].minutes");
  CHECK(refused([](Scenario& s) { s.route[0].minutes = k_nan; }) == "route[0].minutes");
  CHECK(refused([](Scenario& s) { s.route[0].speed_kmh = 500.0; }) == "route[0].speed_kmh");
  CHECK(refused([](Scenario& s) { s.route[0].grade_pct = -40.0; }) == "route[0].grade_pct");
  CHECK(refused([](Scenario& s) { s.route[0].trailer_kg = -1.0; }) == "route[0].trailer_kg");
}

TEST_CASE("a vehicle that stands has no speed to aim at") {
  CHECK(refused([](Scenario& s) { s.route[1].speed_kmh = 30.0; }) == "route[1].speed_kmh");
}

TEST_CASE("each stretch may be as long as a drive, all together not longer") {
  CHECK(refused([](Scenario& s) { s.route[0].minutes = 2.0 * k_longest_drive_min; }) ==
        "route[0].minutes");
  CHECK(refused([](Scenario& s) {
          s.route[0].minutes = 0.6 * k_longest_drive_min;
          s.route[1].minutes = 0.6 * k_longest_drive_min;
        }) == "route");
}

TEST_CASE("an impossible fault is refused naming its field") {
  CHECK(refused([](Scenario& s) { s.faults[0].severity = 5.0; }) == "faults[0].severity");
  CHECK(refused([](Scenario& s) { s.faults[0].severity = -0.1; }) == "faults[0].severity");
  CHECK(refused([](Scenario& s) { s.faults[0].from_s = -1.0; }) == "faults[0].from_s");
  CHECK(refused([](Scenario& s) {
          s.faults[0].from_s = 60.0;
          s.faults[0].to_s = 60.0;
        }) == "faults[0].to_s");
  CHECK(refused([](Scenario& s) {
          s.faults[0].spells = Spells{0.0, 60.0};
        }) == "faults[0].spells.on_s");
}

TEST_CASE("an impossible log is refused naming its field") {
  CHECK(refused([](Scenario& s) { s.logging.period_s = -1.0; }) == "logging.period_s");
  CHECK(refused([](Scenario& s) { s.logging.period_s = 0.7; }) == "logging.period_s");
  CHECK(refused([](Scenario& s) { s.logging.period_s = k_nan; }) == "logging.period_s");
  CHECK(refused([](Scenario& s) { s.logging.missing_share = 1.5; }) == "logging.missing_share");
  CHECK(refused([](Scenario& s) { s.logging.sensor.noise_c = -1.0; }) == "logging.noise_c");
  CHECK(refused([](Scenario& s) { s.logging.gaps[0].to_s = 5.0; }) == "logging.gaps[0].to_s");
}

TEST_CASE("impossible surroundings and vehicles are refused naming their field") {
  CHECK(refused([](Scenario& s) { s.weather.ambient_c = 90.0; }) == "weather.ambient_c");
  CHECK(refused([](Scenario& s) { s.weather.ambient_c = k_nan; }) == "weather.ambient_c");
  CHECK(refused([](Scenario& s) { s.comfort.heater = 1.2; }) == "comfort.heater");
  CHECK(refused([](Scenario& s) { s.start_c = 300.0; }) == "start.engine_c");
  CHECK(refused([](Scenario& s) { s.start_altitude_m = 9000.0; }) == "start.altitude_m");
  CHECK(refused([](Scenario& s) { s.body.mass_kg = 0.0; }) == "vehicle.body.mass_kg");
  CHECK(refused([](Scenario& s) { s.circuit.span_k = 0.0; }).rfind("vehicle.", 0) == 0);
}
