// SPDX-License-Identifier: Apache-2.0
// Which demands a drive makes, and which vehicles meet them.
#include "diagnose/cooling_reserve.hpp"

#include "circuit/reduced_run.hpp"
#include "support/reduced_drives.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;
using namespace coolband::testing;

namespace {

CircuitValues with(CircuitParameter parameter, double factor) {
  CircuitValues values = usual_circuit();
  values[static_cast<std::size_t>(parameter)] *= factor;
  return values;
}

/// Twenty minutes of one kind of running, in 10 s blocks.
CircuitDrive steady(std::uint8_t turning, std::uint8_t load, std::uint8_t speed_kmh) {
  CircuitDrive drive = driven(1, 30.0, 120);
  for (CircuitBlock& block : drive.blocks) {
    block.turning = turning;
    block.load = load;
    block.speed_kmh = speed_kmh;
  }
  return drive;
}

CircuitInputs inputs_of(const CircuitDrive& drive) { return circuit_inputs({&drive, 1}); }

/// Where a free run of hours ends.
double ends_at(const CircuitValues& circuit, CircuitDrive drive) {
  const CircuitDrive once = drive;
  for (int i = 0; i < 20; ++i) {
    for (CircuitBlock block : once.blocks) {
      block.begins = false;
      drive.blocks.push_back(block);
    }
  }
  return predict_readings(inputs_of(drive), circuit, k_free_run).back();
}

} // namespace

TEST_CASE("the steady state is where a long run ends") {
  for (const double speed : {0.0, 60.0}) {
    const auto drive = steady(64, 120, static_cast<std::uint8_t>(speed));
    const HeatConditions conditions{0.0, 30.0, 1.0, 0.6, speed / 90.0};
    CAPTURE(speed);
    CHECK(steady_coolant_c(usual_circuit(), conditions) ==
          doctest::Approx(ends_at(usual_circuit(), drive)).epsilon(0.01));
  }
}

TEST_CASE("more heat or less air ends hotter; no air at all ends at the limit") {
  const HeatConditions climb{0.0, 42.0, 1.5, 1.0, 0.5};
  const double usual_c = steady_coolant_c(usual_circuit(), climb);
  CHECK(steady_coolant_c(with(CircuitParameter::load_heat, 1.5), climb) > usual_c);
  CHECK(steady_coolant_c(with(CircuitParameter::ram_air, 0.5), climb) > usual_c);
  CircuitValues none = with(CircuitParameter::ram_air, 1e-6);
  none[static_cast<std::size_t>(CircuitParameter::still_air)] = 1e-9;
  none[static_cast<std::size_t>(CircuitParameter::fan)] = 1e-9;
  CHECK(steady_coolant_c(none, climb) == k_hottest_rest_c);
}

TEST_CASE("a climb makes one demand, a long idle another, a short drive none") {
  const auto climb = demands_of(inputs_of(steady(96, 190, 50)));
  REQUIRE(climb.size() == 1);
  CHECK(climb[0].conditions.load == doctest::Approx(0.95));
  CHECK(climb[0].conditions.turning == doctest::Approx(1.5));
  CHECK(climb[0].conditions.ambient_c == 42.0); // moved into the heat that vehicles are made for
  const auto idle = demands_of(inputs_of(steady(24, 40, 0)));
  REQUIRE(idle.size() == 2);
  CHECK(idle[1].conditions.wind == 0.0);
  CHECK(idle[1].limit_c < idle[0].limit_c);
  CircuitDrive brief = steady(96, 190, 50);
  brief.blocks.resize(20);
  CHECK(demands_of(inputs_of(brief)).empty());
}

TEST_CASE("of a changing drive the heaviest five minutes count") {
  CircuitDrive drive = steady(40, 60, 80);
  for (std::size_t i = 50; i < 85; ++i) drive.blocks[i].load = 180;
  const auto demands = demands_of(inputs_of(drive));
  REQUIRE(demands.size() == 1);
  CHECK(demands[0].conditions.load == doctest::Approx(0.9));
}

TEST_CASE("a usual vehicle meets its demands; one without air to cool it fails them by far") {
  for (const auto& drive : {steady(96, 190, 50), steady(24, 40, 0)}) {
    for (const Demand& demand : demands_of(inputs_of(drive))) {
      CHECK(shortfall(usual_circuit(), demand) == 0.0);
      CircuitValues weak = with(CircuitParameter::ram_air, 0.1);
      weak[static_cast<std::size_t>(CircuitParameter::still_air)] *= 0.01;
      weak[static_cast<std::size_t>(CircuitParameter::fan)] *= 0.01;
      CHECK(shortfall(weak, demand) > 3.0);
    }
  }
}
