// SPDX-License-Identifier: Apache-2.0
// The valve follows the wax between an opening and a closing branch, sticks, and shares the flow.
#include "circuit/thermostat.hpp"

#include <doctest/doctest.h>

#include <initializer_list>

using namespace coolband;

namespace {

/// The lift after the wax went by `temperatures` in turn.
double lift_after(std::initializer_list<double> temperatures, const CircuitFaults& faults = {}) {
  double lift = 0.0;
  for (const double wax_c : temperatures) lift = lift_by_wax(lift, wax_c, {}, faults);
  return lift;
}

} // namespace

TEST_CASE("the valve opens from its rating on and closes its hysteresis later") {
  // Default: 76, span 13, hysteresis 2.
  CHECK(lift_after({76.0}) == 0.0);
  CHECK(lift_after({82.5}) == doctest::Approx(0.5));
  CHECK(lift_after({89.0}) == doctest::Approx(1.0));
  CHECK(lift_after({120.0}) == 1.0);
  CHECK(lift_after({82.5, 81.0}) == doctest::Approx(0.5)); // within the play
  CHECK(lift_after({82.5, 79.0}) == doctest::Approx(5.0 / 13.0));
  CHECK(lift_after({82.5, 74.1}) > 0.0);
  CHECK(lift_after({82.5, 74.0}) == 0.0);
  CHECK(lift_after({82.5, 79.0, 80.9}) == doctest::Approx(5.0 / 13.0));
  CHECK(lift_after({120.0, 87.1}) == 1.0);
}

TEST_CASE("the play does not care in how many steps the wax got there") {
  double lift = 0.0;
  for (double wax_c = 70.0; wax_c <= 85.0; wax_c += 0.01) lift = lift_by_wax(lift, wax_c, {}, {});
  CHECK(lift == doctest::Approx(lift_after({85.0})).epsilon(1e-3));
  for (double wax_c = 85.0; wax_c >= 77.0; wax_c -= 0.01) lift = lift_by_wax(lift, wax_c, {}, {});
  CHECK(lift == doctest::Approx(lift_after({85.0, 77.0})).epsilon(2e-3));
}

TEST_CASE("later opening and more hysteresis shift the branches by their kelvins") {
  CircuitFaults late;
  late.opens_later_k = 8.0;
  CHECK(lift_after({84.0}, late) == 0.0);
  CHECK(lift_after({90.5}, late) == doctest::Approx(0.5));
  CircuitFaults wide;
  wide.more_hysteresis_k = 6.0;
  CHECK(lift_after({82.5, 74.6}, wide) == doctest::Approx(0.5));
  CHECK(lift_after({82.5, 68.0}, wide) == 0.0);
}

TEST_CASE("friction holds the valve, then it slips most of the way") {
  CircuitFaults sticking;
  sticking.friction = 0.5; // of a stroke of 13 K
  CHECK(lift_after({82.0}, sticking) == 0.0);
  const double slipped = lift_after({82.6}, sticking);
  CHECK(slipped > 0.3);
  CHECK(slipped < lift_after({82.6}));
  CHECK(lift_after({82.6, 76.0}, sticking) == slipped);
  CHECK(lift_after({82.6, 71.0}, sticking) < 0.2);
  // Hardly any friction is hardly any difference.
  sticking.friction = 1e-9;
  CHECK(lift_after({85.0, 79.0}, sticking) == doctest::Approx(lift_after({85.0, 79.0})));
}

TEST_CASE("a fault bounds the lift, and an impossible pair hangs open") {
  CircuitFaults faults;
  faults.lift_at_least = 0.3;
  CHECK(lift_allowed(0.0, faults) == 0.3);
  CHECK(lift_allowed(0.9, faults) == 0.9);
  faults.lift_at_most = 0.2;
  CHECK(lift_allowed(0.9, faults) == 0.3);
}

TEST_CASE("shut, only vent and leak pass; open, all goes through the radiator") {
  CHECK(radiator_share(0.0, 0.0) == 0.0);
  CHECK(radiator_share(0.0, 0.02) == doctest::Approx(0.02));
  CHECK(radiator_share(1.0, 0.02) == doctest::Approx(1.0));
  CHECK(radiator_share(0.5, 0.0) == doctest::Approx(0.1)); // a tenth at half lift, as stated
  double before = -1.0;
  for (double lift = 0.0; lift <= 1.0; lift += 0.05) {
    CHECK(radiator_share(lift, 0.005) > before);
    before = radiator_share(lift, 0.005);
  }
}
