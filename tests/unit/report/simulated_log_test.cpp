// SPDX-License-Identifier: Apache-2.0
// Rows as text: decimals by resolution, rounding, missing readings, clocks, three layouts.
#include "report/simulated_log.hpp"

#include <doctest/doctest.h>

#include <limits>
#include <string>
#include <vector>

using namespace coolband;

namespace {

LogShape shape_with(std::vector<Role> roles) {
  LogShape shape;
  for (const Role role : roles) shape.columns.push_back({role, metric_unit(role)});
  return shape;
}

SimulatedRow reading(double coolant_c, double time_s = 0.0) {
  SimulatedRow row;
  row.time_s = time_s;
  row.coolant_c = coolant_c;
  return row;
}

std::string written(const LogShape& shape, const std::vector<SimulatedRow>& rows) {
  SimulatedLog log(shape);
  std::string text;
  log.begin(text);
  for (const SimulatedRow& row : rows) log.add(row, text);
  log.end(text);
  return text;
}

/// The coolant cell of one row in steps of `step_c`.
std::string cell(double coolant_c, double step_c, const Unit& unit) {
  LogShape shape = shape_with({Role::coolant});
  shape.columns[0].unit = unit;
  shape.logging.sensor.resolution_c = step_c;
  const std::string text = written(shape, {reading(coolant_c)});
  return text.substr(text.find("\n0,") + 3);
}

constexpr double k_nan = std::numeric_limits<double>::quiet_NaN();

} // namespace

TEST_CASE("a reading has just the decimals that its steps need") {
  const Unit celsius = metric_unit(Role::coolant);
  CHECK(cell(80.0, 1.0, celsius) == "80\n");
  CHECK(cell(80.5, 0.5, celsius) == "80.5\n");
  CHECK(cell(80.25, 0.25, celsius) == "80.25\n");
  CHECK(cell(80.0, 0.0, celsius) == "80.00\n");           // no steps
  CHECK(cell(80.0, 1.0, *unit_named("°F")) == "176.0\n"); // steps of 1.8
  CHECK(cell(80.0, 5.0, *unit_named("°F")) == "176\n");   // of 9
  CHECK(cell(80.0, 1.0, *unit_named("K")) == "353.15\n");
}

TEST_CASE("numbers are rounded half up, also below 0, and there is no -0") {
  const Unit celsius = metric_unit(Role::coolant);
  CHECK(cell(-40.0, 1.0, celsius) == "-40\n");
  CHECK(cell(-0.25, 0.25, celsius) == "-0.25\n");
  CHECK(cell(1.005, 0.0, celsius) == "1.00\n"); // the double next to it is below
  CHECK(cell(0.125, 0.0, celsius) == "0.13\n");
  CHECK(cell(-0.125, 0.0, celsius) == "-0.12\n");
  CHECK(cell(-0.001, 0.0, celsius) == "0.00\n");
}

TEST_CASE("a missing reading is an empty cell, or null") {
  LogShape shape = shape_with({Role::coolant, Role::rpm});
  CHECK(written(shape, {reading(k_nan)}) == "time_s,coolant_c,rpm\n0,,0\n");
  shape.format = SimulatedFormat::json_lines;
  CHECK(written(shape, {reading(k_nan)}) == "{\"time_s\":0,\"coolant_c\":null,\"rpm\":0}\n");
}

TEST_CASE("a JSON array is one, also without rows") {
  LogShape shape = shape_with({Role::coolant});
  shape.format = SimulatedFormat::json_array;
  CHECK(written(shape, {}) == "[]\n");
  CHECK(written(shape, {reading(20.0), reading(21.0, 1.0)}) ==
        "[\n{\"time_s\":0,\"coolant_c\":20},\n{\"time_s\":1,\"coolant_c\":21}\n]\n");
}

TEST_CASE("a clock goes over midnight and the end of a leap February") {
  LogShape shape = shape_with({Role::coolant});
  shape.logging.period_s = 0.5;
  // 2032-02-29T23:59:59 by `date -u -d 2032-02-29T23:59:59 +%s`.
  shape.clock = Clock{ClockKind::date_time, 1961711999.0, 0};
  CHECK(written(shape, {reading(20.0), reading(20.0, 0.5), reading(20.0, 1.0)}) ==
        "timestamp,coolant_c\n2032-02-29T23:59:59.0,20\n2032-02-29T23:59:59.5,20\n"
        "2032-03-01T00:00:00.0,20\n");
}

TEST_CASE("every unit that can be written is named by its heading") {
  for (const Role role : simulated_roles()) {
    CHECK(unit_suffix(metric_unit(role)).has_value() == (role != Role::fan));
    CHECK(unit_suffix(us_unit(role)).has_value() == (role != Role::fan));
  }
  CHECK(unit_suffix(us_unit(Role::speed)) == "mph");
  CHECK_FALSE(unit_suffix(*unit_named("kPa")));
}

TEST_CASE("temperatures of the truth are in the coolant's unit") {
  LogShape shape = shape_with({Role::coolant});
  shape.columns[0].unit = us_unit(Role::coolant);
  shape.truth = true;
  SimulatedRow row = reading(100.0);
  row.truth.block_c = 100.0;
  const std::string text = written(shape, {row});
  CHECK(text.find("true_block_f") != std::string::npos);
  CHECK(text.find(",212.00,") != std::string::npos);
  CHECK(text.find("true_block_c") == std::string::npos);
}
