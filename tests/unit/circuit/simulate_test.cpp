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

/// All that a log shows of the row, and what is true.
std::vector<double> numbers(const SimulatedRow& row) {
  return {row.time_s, row.coolant_c, row.ambient_c,  row.load_pct,
          row.rpm,    row.speed_kmh, row.altitude_m, row.truth.coolant_c};
}

double hottest_c(const Scenario& scenario) {
  double hottest = -100.0;
  for (const SimulatedRow& row : rows_of(scenario))
    hottest = std::max(hottest, row.truth.coolant_c);
  return hottest;
}

/// Fast and level on a hot day with the valve shut and no cap: boils for certain.
Scenario boiling_at(double altitude_m) {
  Scenario drive = scenario(RouteKind::highway, 15.0);
  drive.route[0].grade_pct = 0.0;
  drive.weather.ambient_c = 40.0;
  drive.start_altitude_m = altitude_m;
  drive.circuit.cap_kpa = 0.0;
  drive.faults = {{FaultKind::thermostat_stuck_closed, k_most_severe}};
  return drive;
}

double first_boiling_c(const Scenario& scenario) {
  for (const SimulatedRow& row : rows_of(scenario)) {
    if (row.flows.boiled > 0.0) return row.truth.coolant_c;
  }
  return std::nan("");
}

/// kJ that a step's flows bring into metal and coolant.
double brought_kj(const HeatFlows& flows) {
  return k_simulation_step_s * (flows.from_engine - flows.to_radiator_air - flows.to_surroundings -
                                flows.to_cabin - flows.boiled);
}

/// kJ that the masses hold more in `to` than in `from`.
double held_kj(const CircuitParameters& p, const CircuitState& from, const CircuitState& to) {
  const auto coolant = [&](double litres, double at_c) {
    return litres * coolant_heat(p.mix, at_c).kj_per_litre_k();
  };
  return p.block_kj_per_k * (to.block_c - from.block_c) +
         coolant(p.engine_coolant_l, from.coolant_c) * (to.coolant_c - from.coolant_c) +
         (p.radiator_metal_kj_per_k + coolant(p.radiator_coolant_l, from.radiator_c)) *
             (to.radiator_c - from.radiator_c);
}

std::ptrdiff_t rows_with_fan(const Scenario& scenario) {
  const auto rows = rows_of(scenario);
  return std::count_if(rows.begin(), rows.end(), [](const SimulatedRow& r) { return r.fan_on; });
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

TEST_CASE("a fault of severity 0 is none") {
  Scenario drive = scenario(RouteKind::road, 20.0);
  const auto sound = rows_of(drive);
  drive.faults = {{FaultKind::thermostat_stuck_open, 0.0}};
  const auto rows = rows_of(drive);
  CHECK(readings(rows) == readings(sound));
  CHECK_FALSE(rows.back().fault_active);
}

TEST_CASE("rows begin at 0 and end before the end of the route") {
  for (const double period_s : {0.5, 1.0, 7.0}) {
    CAPTURE(period_s);
    Scenario drive = scenario(RouteKind::idle, 1.0);
    drive.route.push_back(scenario(RouteKind::road, 2.0).route[0]);
    drive.logging.period_s = period_s;
    const auto rows = rows_of(drive);
    CHECK(rows.size() == static_cast<std::size_t>(std::ceil(180.0 / period_s)));
    for (std::size_t i = 0; i < rows.size(); ++i)
      CHECK(rows[i].time_s == period_s * static_cast<double>(i));
  }
}

TEST_CASE("how often a row is logged, and its gaps, change nothing of the drive") {
  Scenario drive = scenario(RouteKind::road, 10.0);
  drive.logging.period_s = 0.5;
  const auto often = rows_of(drive);
  drive.logging.period_s = 10.0;
  drive.logging.gaps = {{200.0, 230.0}, {60.0, 90.0}, {80.0, 100.0}}; // out of order, and over
  const auto seldom = rows_of(drive);
  CHECK(seldom.size() == 60 - 3 - 4);
  for (const SimulatedRow& row : seldom)
    CHECK(numbers(row) == numbers(often[static_cast<std::size_t>(2.0 * row.time_s)]));
}

TEST_CASE("only coolant readings are missing") {
  Scenario drive = scenario(RouteKind::town, 10.0);
  drive.logging.missing_share = 1.0;
  for (const SimulatedRow& row : rows_of(drive)) {
    CHECK(std::isnan(row.coolant_c));
    CHECK(std::isfinite(row.ambient_c + row.load_pct + row.rpm + row.speed_kmh + row.altitude_m));
  }
}

TEST_CASE("nothing is driven after the reader has enough") {
  int rows = 0;
  // As long as a scenario can be: all of it would take minutes.
  const Scenario drive = scenario(RouteKind::road, k_longest_drive_min);
  CHECK_FALSE(simulate_while(drive, [&](const SimulatedRow&) { return ++rows < 5; }));
  CHECK(rows == 5);
}

TEST_CASE("what the flows bring is what the masses hold") {
  Scenario drive = scenario(RouteKind::road, 25.0);
  drive.route.push_back(scenario(RouteKind::stop, 5.0).route[0]);
  drive.weather.ambient_c = 0.0; // the cabin takes its share
  drive.logging.period_s = k_simulation_step_s;
  double brought = 0.0;
  double held = 0.0;
  const auto rows = rows_of(drive);
  for (std::size_t i = 1; i < rows.size(); ++i) {
    brought += brought_kj(rows[i].flows); // of the step that leads to this row
    held += held_kj(drive.circuit, rows[i - 1].truth, rows[i].truth);
  }
  CHECK(held > 5000.0); // it has warmed up
  CHECK(brought == doctest::Approx(held).epsilon(0.01));
}

TEST_CASE("coolant begins to boil at what the height leaves of the air's pressure") {
  for (const double altitude_m : {0.0, 3000.0}) {
    CAPTURE(altitude_m);
    const Scenario drive = boiling_at(altitude_m);
    const auto boils_c = boiling_point_c(drive.circuit.mix, atmospheric_pressure_kpa(altitude_m));
    REQUIRE(boils_c);
    CHECK(std::abs(first_boiling_c(drive) - *boils_c) < 0.2);
  }
  CHECK(hottest_c(boiling_at(0.0)) > hottest_c(scenario(RouteKind::highway, 15.0)) + 10.0);
}

TEST_CASE("an engine starts as cold as the air unless it is said how warm it is") {
  Scenario drive = scenario(RouteKind::road, 1.0);
  drive.weather.ambient_c = -12.0;
  CHECK(rows_of(drive).front().truth.block_c == -12.0);
  drive.start_c = 70.0;
  CHECK(rows_of(drive).front().truth.block_c == 70.0);
  CHECK(rows_of(drive).front().coolant_c == 70.0);
}

TEST_CASE("an electric fan is logged while it runs, a viscous one never") {
  Scenario drive = scenario(RouteKind::idle, 60.0);
  drive.weather.ambient_c = 35.0;
  drive.start_c = 85.0;
  CHECK(rows_with_fan(drive) == 0);
  drive.circuit.fan = FanDrive::electric;
  drive.circuit.fan_on_c = 82.0;
  drive.circuit.fan_off_c = 78.0;
  CHECK(rows_with_fan(drive) > 0);
  CHECK(rows_with_fan(drive) < 3600);
}

TEST_CASE(
    "wind from ahead cools the radiator of a vehicle that stands, wind from behind does not") {
  Scenario drive = scenario(RouteKind::idle, 40.0);
  drive.start_c = 85.0;
  drive.faults = {{FaultKind::thermostat_stuck_open}};
  const double calm_c = rows_of(drive).back().truth.coolant_c;
  drive.weather.headwind_kmh = 40.0;
  CHECK(rows_of(drive).back().truth.coolant_c < calm_c - 2.0);
  drive.weather.headwind_kmh = -40.0;
  CHECK(rows_of(drive).back().truth.coolant_c == calm_c);
}

TEST_CASE("the cabin is heated when it is cold outside, or as the people in it say") {
  Scenario drive = scenario(RouteKind::road, 20.0);
  const auto cabin_kw = [&](double ambient_c, std::optional<double> heater) {
    drive.weather.ambient_c = ambient_c;
    drive.comfort.heater = heater;
    return rows_of(drive).back().flows.to_cabin;
  };
  CHECK(cabin_kw(0.0, std::nullopt) > 0.5);
  CHECK(cabin_kw(25.0, std::nullopt) == 0.0);
  CHECK(cabin_kw(0.0, 0.0) == 0.0);
  CHECK(cabin_kw(25.0, 1.0) > 0.5);
}
