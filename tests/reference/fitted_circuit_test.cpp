// SPDX-License-Identifier: Apache-2.0
// The fitted circuit against answers from outside: vehicles of two simulators that share no code
// with it, whose thermostats are known. (The whole table: tests/bench/opening.cpp.)
#include "circuit/fit_circuit.hpp"
#include "support/normal_drives.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;
using namespace coolband::testing;

TEST_CASE("the true start of opening is found in vehicles of both simulators") {
  for (const World world : {World::test_simulator, World::thermal_circuit}) {
    Random random(20);
    int close = 0;
    for (int v = 0; v < 8; ++v) {
      const NormalVehicle vehicle = draw_vehicle(world, 12, {}, random);
      const auto fitted = fit_circuit(vehicle.drives);
      REQUIRE(fitted);
      const double error_k = (*fitted)[CircuitParameter::opens].value - vehicle.opens_c;
      CAPTURE(vehicle.opens_c);
      CHECK(std::abs(error_k) < 4.0);
      close += std::abs(error_k) <= 1.5 ? 1 : 0;
    }
    // 92 of 100 do; five or fewer of eight would then be a chance of 1 in 50.
    CHECK(close >= 6);
  }
}
