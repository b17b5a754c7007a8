// SPDX-License-Identifier: Apache-2.0
// The ways of working that take turns.
#include "diagnose/turns.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coolband;

TEST_CASE("gas passes in short slugs, most of the time there is none") {
  const Turns turns = slugs_of_gas();
  CHECK(turns.condition == Condition::air_or_low_coolant);
  const double free_s = turns.modes.front().dwell_s;
  for (auto slug = turns.modes.begin() + 1; slug != turns.modes.end(); ++slug)
    CHECK(slug->dwell_s <= 0.1 * free_s);
}

TEST_CASE("a valve that sticks holds at every height, shut and open among them") {
  const Turns turns = sticking_valve();
  std::vector<double> held;
  for (auto mode = turns.modes.begin() + 1; mode != turns.modes.end(); ++mode) {
    CHECK(mode->fault.lift_at_least == mode->fault.lift_at_most);
    held.push_back(mode->fault.lift_at_least);
  }
  CHECK(std::is_sorted(held.begin(), held.end()));
  CHECK(held.front() == 0.0);
  CHECK(held.back() == 1.0);
}
