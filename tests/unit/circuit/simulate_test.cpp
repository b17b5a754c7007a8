// SPDX-License-Identifier: Apache-2.0
// A simulated drive: reproducible, streamed, with rows where they belong, and moved by road and
// weather as a drive is.
#include "circuit/scenario.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace coolband;

namespace {

Scenario scenario(RouteKind kind, double minutes) {
  Scenario made;
  made.route = {{kind, minutes, std::nullopt, std::nullopt, 0.0}};
  return made;
}

std::vector<SimulatedRow> rows_of(const Scenario& scenario) {
  std::vector<SimulatedRow> rows;
  const auto error = simulate(scenario, [&](const SimulatedRow& row) { rows.push_back(row); });
  REQUIRE_FALSE(error);
  return rows;
}

double mean(const std::vector<SimulatedRow>& rows, double SimulatedRow::*column) {
  double sum = 0.0;
  for (const SimulatedRow& row : rows) sum += row.*column;
  return sum / static_cast<double>(rows.size());
}

std::vector<double> readings(const std::vector<SimulatedRow>& rows) {
  std::vector<double> shown;
  for (const SimulatedRow& row : rows) shown.push_back(row.coolant_c);
  return shown;
}

} // namespace

TEST_CASE("the same scenario and seed give the same rows, another seed another drive") {
  Scenario drive = scenario(RouteKind::road, 10.0);
  drive.faults = {{FaultKind::thermostat_sticking, 1.0, 60.0, 500.0, Spells{}}};
  const auto first = rows_of(drive);
  CHECK(readings(first) == readings(rows_of(drive)));
  drive.seed = 2;
  CHECK(readings(first) != readings(rows_of(drive)));
}

TEST_CASE("rows come at the period, none in a hole of the log, and only until told to stop") {
  Scenario drive = scenario(RouteKind::town, 10.0);
  drive.logging.period_s = 2.5;
  drive.logging.gaps = {{300.0, 400.0}, {100.0, 110.0}};
  const auto rows = rows_of(drive);
  CHECK(rows.size() == 240 - 40 - 4);
  for (const SimulatedRow& row : rows) {
    CHECK(std::fmod(row.time_s, 2.5) == 0.0);
    CHECK_FALSE((row.time_s >= 300.0 && row.time_s < 400.0));
  }
  std::size_t seen = 0;
  CHECK_FALSE(simulate_while(drive, [&](const SimulatedRow&) { return ++seen < 7; }));
  CHECK(seen == 7);
}

TEST_CASE("readings are missing as often as asked for, and step as the sensor does") {
  Scenario drive = scenario(RouteKind::road, 60.0);
  drive.logging.missing_share = 0.2;
  drive.logging.sensor.resolution_c = 0.5;
  std::size_t missing = 0;
  const auto rows = rows_of(drive);
  for (const SimulatedRow& row : rows) {
    if (std::isnan(row.coolant_c))
      ++missing;
    else
      CHECK(std::fmod(row.coolant_c, 0.5) == 0.0);
  }
  // 3600 cells: one standard deviation is 24.
  CHECK(std::abs(static_cast<double>(missing) - 720.0) < 4.0 * 24.0);
}

TEST_CASE("a stop has the engine off, and the coolant warms up by what the metal holds") {
  Scenario drive = scenario(RouteKind::climb, 25.0);
  drive.route.push_back({RouteKind::stop, 4.0, std::nullopt, std::nullopt, 0.0});
  const auto rows = rows_of(drive);
  constexpr std::size_t k_stands = 1500 + 25; // it has to brake first
  const double at_stop_c = rows[k_stands].truth.coolant_c;
  double hottest_c = at_stop_c;
  for (std::size_t i = k_stands; i < rows.size(); ++i) {
    CHECK(rows[i].rpm == 0.0);
    CHECK(rows[i].load_pct == 0.0);
    hottest_c = std::max(hottest_c, rows[i].truth.coolant_c);
  }
  CHECK(hottest_c > at_stop_c + 1.0);
}

TEST_CASE("each kind of stretch asks of the engine what it usually does") {
  const auto load = [](RouteKind kind, double trailer_kg) {
    Scenario drive = scenario(kind, 20.0);
    drive.route[0].trailer_kg = trailer_kg;
    return mean(rows_of(drive), &SimulatedRow::load_pct);
  };
  const auto speed = [](RouteKind kind) {
    return mean(rows_of(scenario(kind, 20.0)), &SimulatedRow::speed_kmh);
  };
  CHECK(speed(RouteKind::idle) == 0.0);
  CHECK(speed(RouteKind::sand) < speed(RouteKind::town));
  CHECK(speed(RouteKind::track) < speed(RouteKind::road));
  CHECK(speed(RouteKind::road) < speed(RouteKind::highway));
  CHECK(load(RouteKind::idle, 0.0) < load(RouteKind::road, 0.0));
  CHECK(load(RouteKind::descent, 0.0) < load(RouteKind::road, 0.0));
  CHECK(load(RouteKind::road, 0.0) < load(RouteKind::climb, 0.0));
  CHECK(load(RouteKind::climb, 0.0) < load(RouteKind::climb, 1500.0));
  CHECK(load(RouteKind::track, 0.0) < load(RouteKind::sand, 0.0));
}

TEST_CASE("the air cools with height as the standard atmosphere does, and with the day") {
  // ISO 2533: 6.5 K per km.
  Scenario drive = scenario(RouteKind::climb, 30.0);
  drive.logging.ambient_resolution_c = 0.0;
  const auto rows = rows_of(drive);
  const double risen_m = rows.back().altitude_m - rows.front().altitude_m;
  REQUIRE(risen_m > 500.0);
  CHECK(rows.front().ambient_c - rows.back().ambient_c ==
        doctest::Approx(0.0065 * risen_m).epsilon(0.02));
  Scenario idle = scenario(RouteKind::idle, 60.0);
  idle.logging.ambient_resolution_c = 0.0;
  idle.weather.change_c_per_h = -4.0;
  CHECK(rows_of(idle).back().ambient_c == doctest::Approx(16.0).epsilon(0.01));
}

TEST_CASE("a valve that hangs open runs colder than its sound twin on the same drive") {
  Scenario drive = scenario(RouteKind::road, 40.0);
  const auto sound = rows_of(drive);
  drive.faults = {{FaultKind::thermostat_stuck_open, 1.0, 600.0, 1e9, std::nullopt}};
  const auto faulty = rows_of(drive);
  REQUIRE(sound.size() == faulty.size());
  for (std::size_t i = 0; i < sound.size(); ++i) {
    CHECK(faulty[i].fault_active == (faulty[i].time_s >= 600.0));
    if (faulty[i].time_s <= 600.0) CHECK(faulty[i].truth.coolant_c == sound[i].truth.coolant_c);
  }
  CHECK(faulty.back().truth.coolant_c < sound.back().truth.coolant_c - 5.0);
}

TEST_CASE("what is impossible is refused by the name of its field") {
  const auto field = [](auto change) {
    Scenario drive = scenario(RouteKind::road, 10.0);
    change(drive);
    std::size_t rows = 0;
    const auto error = simulate(drive, [&](const SimulatedRow&) { ++rows; });
    CHECK(rows == 0);
    REQUIRE(error);
    CHECK(error->kind == ErrorKind::usage);
    return error->message.substr(0, error->message.find(' '));
  };
  CHECK(field([](Scenario& s) { s.route.clear(); }) == "route");
  CHECK(field([](Scenario& s) { s.route[0].minutes = -1.0; }) == "route[0].minutes");
  CHECK(field([](Scenario& s) { s.route[0].minutes = std::nan(""); }) == "route[0].minutes");
  CHECK(field([](Scenario& s) { s.logging.period_s = 0.7; }) == "logging.period_s");
  CHECK(field([](Scenario& s) { s.logging.gaps = {{5.0, 5.0}}; }) == "logging.gaps[0].to_s");
  CHECK(field([](Scenario& s) { s.weather.ambient_c = 99.0; }) == "weather.ambient_c");
  CHECK(field([](Scenario& s) { s.body.mass_kg = 0.0; }) == "vehicle.body.mass_kg");
  CHECK(field([](Scenario& s) {
          s.faults = {{FaultKind::fan_dead, 2.5, 0.0, 10.0, std::nullopt}};
        }) == "faults[0].severity");
}

TEST_CASE("every kind of stretch has a name, and only its own") {
  for (int i = 0; i <= static_cast<int>(RouteKind::stop); ++i) {
    const auto kind = static_cast<RouteKind>(i);
    CHECK(route_named(name_of(kind)) == kind);
  }
  CHECK_FALSE(route_named("moon"));
}
