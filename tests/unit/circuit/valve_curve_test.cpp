// SPDX-License-Identifier: Apache-2.0
// The apparent conductance of a circuit's own readings is the conductance of its radiator.
#include "circuit/valve_curve.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "support/reduced_drives.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Engine and road at one steady pace, so that everything is in balance in the end.
CircuitDrive steady_drive(int load_pct) {
  CircuitDrive drive = driven(1, 20.0, 360);
  for (CircuitBlock& block : drive.blocks) {
    block.turning = 64;
    block.load = static_cast<std::uint8_t>(2 * load_pct);
    block.speed_kmh = 80;
  }
  return drive;
}

std::vector<double> ratios(const std::vector<ConductancePoint>& points, double from_s) {
  std::vector<double> found;
  for (const ConductancePoint& point : points) {
    if (point.time_s >= from_s) found.push_back(point.conductance / point.expected);
  }
  return found;
}

} // namespace

TEST_CASE("in a steady_drive state the apparent conductance is the radiator's") {
  for (const int load_pct : {20, 50, 80}) {
    CircuitDrive drive = steady_drive(load_pct);
    read_off(drive, usual_circuit());
    const auto late = ratios(apparent_conductance(drive, usual_circuit()), 2400.0);
    REQUIRE(late.size() > 20);
    // The valve's hysteresis and the lags of the lumped states leave a little.
    CHECK(median(late) == doctest::Approx(1.0).epsilon(0.2));
  }
}

TEST_CASE("while the valve is shut next to nothing leaves through the radiator") {
  CircuitDrive drive = driven(5, 10.0, 360);
  read_off(drive, usual_circuit());
  const auto points = apparent_conductance(drive, usual_circuit());
  std::vector<double> shut; // beyond what its vent hole lets through
  std::vector<double> open;
  for (const ConductancePoint& point : points) {
    if (point.coolant_c < 78.0) shut.push_back(point.conductance - point.expected);
    if (point.coolant_c > 86.0) open.push_back(point.conductance);
  }
  REQUIRE(shut.size() > 5);
  REQUIRE(open.size() > 5);
  // The radiator's own warming and the lags of the states are left.
  CHECK(std::abs(median(shut)) < 0.2 * median(open));
}

TEST_CASE("a valve that hangs open, and one that hangs shut, bend the curve their way") {
  CircuitValues open = usual_circuit();
  open[static_cast<std::size_t>(CircuitParameter::opens)] = 45.0;
  CircuitValues shut = usual_circuit();
  shut[static_cast<std::size_t>(CircuitParameter::opens)] = 95.0;
  const auto excess = [](const CircuitValues& really) {
    CircuitDrive drive = driven(7, 15.0, 360);
    read_off(drive, really);
    std::vector<double> found;
    for (const ConductancePoint& point : apparent_conductance(drive, usual_circuit())) {
      if (point.time_s > 1200.0) found.push_back(point.conductance - point.expected);
    }
    return median(found);
  };
  const double sound = std::abs(excess(usual_circuit()));
  CHECK(excess(open) > 5.0 * sound);
  CHECK(excess(shut) < -5.0 * sound);
}

TEST_CASE("nothing is told of a standing engine, across a hole, or near the air's temperature") {
  CircuitDrive drive = driven(3, 20.0, 120);
  CHECK(apparent_conductance(drive, usual_circuit()).empty()); // readings as warm as the air
  read_off(drive, usual_circuit());
  const auto all = apparent_conductance(drive, usual_circuit());
  CircuitDrive stands = drive;
  for (std::size_t i = 60; i < 80; ++i) stands.blocks[i].turning = 0;
  CircuitDrive holed = drive;
  holed.blocks[70].begins = true;
  for (const CircuitDrive& less : {stands, holed}) {
    CHECK(apparent_conductance(less, usual_circuit()).size() < all.size());
  }
  CHECK(apparent_conductance({}, usual_circuit()).empty());
}

TEST_CASE("ranges of coolant temperature hold quartiles, and need three points") {
  std::vector<ConductancePoint> points(7);
  for (std::size_t i = 0; i < points.size(); ++i) {
    points[i].coolant_c = i < 5 ? 80.1 + 0.1 * static_cast<double>(i) : 60.0;
    points[i].conductance = static_cast<double>(i);
    points[i].expected = 2.0;
  }
  const auto bins = conductance_by_coolant(points, 2.5);
  REQUIRE(bins.size() == 1);
  CHECK(bins[0].low_c == 80.0);
  CHECK(bins[0].high_c == 82.5);
  CHECK(bins[0].lower == doctest::Approx(1.0));
  CHECK(bins[0].median == doctest::Approx(2.0));
  CHECK(bins[0].upper == doctest::Approx(3.0));
  CHECK(bins[0].points == 5);
}
