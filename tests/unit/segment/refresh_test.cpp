// SPDX-License-Identifier: Apache-2.0
// The polling period behind rows that only repeat the last answer.
#include "segment/refresh.hpp"

#include "support/random.hpp"
#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// An engine speed that moves at every poll, in steps of 0.25 rpm (SAE J1979 PID 0C).
float engine_speed(Random& random) {
  return static_cast<float>(std::round(4.0 * random.between(900.0, 2500.0)) / 4.0);
}

/// A coolant temperature in whole degrees on its way up by 3 K/min.
float coolant_at(double time_s) { return static_cast<float>(std::floor(20.0 + time_s / 20.0)); }

} // namespace

TEST_CASE("a lively column held between polls gives the polling period, whatever the rows") {
  for (const double poll_s : {0.5, 1.0, 2.0, 5.0}) {
    Random random(7);
    RefreshWatch watch;
    float held = 0.0F;
    double next_s = 0.0;
    for (int row = 0; row < 6000; ++row) {
      const double time_s = 0.1 * row;
      if (time_s >= next_s - 1e-9) {
        held = engine_speed(random);
        next_s += poll_s;
      }
      watch.add(time_s, held);
    }
    const auto refresh = watch.estimate(Role::rpm, 0.1);
    REQUIRE(refresh);
    CHECK(refresh->period_s == doctest::Approx(poll_s).epsilon(0.05));
    CHECK_FALSE(refresh->at_most);
  }
}

TEST_CASE("polls that do not keep step with the rows give their mean period") {
  Random random(11);
  RefreshWatch watch;
  float held = 0.0F;
  double next_s = 0.0;
  for (int row = 0; row < 6000; ++row) {
    const double time_s = 0.1 * row;
    if (time_s >= next_s) {
      held = engine_speed(random);
      next_s += 0.83 * random.between(0.9, 1.1);
    }
    watch.add(time_s, held);
  }
  CHECK(watch.estimate(Role::rpm, 0.1)->period_s == doctest::Approx(0.83).epsilon(0.1));
}

TEST_CASE("a road speed that often stays the same still gives its polling period") {
  Random random(5);
  RefreshWatch watch;
  double speed = 60.0;
  for (int row = 0; row < 6000; ++row) {
    if (row % 20 == 0) speed = std::max(0.0, speed + std::round(random.between(-4.0, 4.0)));
    watch.add(0.1 * row, static_cast<float>(speed));
  }
  const auto refresh = watch.estimate(Role::speed, 0.1);
  REQUIRE(refresh);
  CHECK(refresh->period_s == doctest::Approx(2.0).epsilon(0.05));
}

TEST_CASE("a column that is new in every row has the period of the rows") {
  Random random(3);
  RefreshWatch watch;
  for (int row = 0; row < 500; ++row) watch.add(row, engine_speed(random));
  const auto refresh = watch.estimate(Role::rpm, 1.0);
  CHECK(refresh->period_s == 1.0);
  CHECK_FALSE(refresh->at_most);
}

TEST_CASE("an even rise in whole degrees is not taken for polling: an upper bound only") {
  RefreshWatch watch;
  for (int row = 0; row < 9000; ++row) watch.add(0.1 * row, coolant_at(0.1 * row));
  const auto refresh = watch.estimate(Role::coolant, 0.1);
  REQUIRE(refresh);
  CHECK(refresh->at_most);
  CHECK(refresh->period_s == doctest::Approx(20.0).epsilon(0.05));
}

TEST_CASE("the bound holds: the true period is never above it") {
  for (const double poll_s : {0.5, 1.0, 2.0, 4.0, 10.0}) {
    RefreshWatch watch;
    for (int row = 0; row < 12000; ++row) {
      const double polled_s = poll_s * std::floor(0.1 * row / poll_s + 1e-9);
      watch.add(0.1 * row, coolant_at(polled_s));
    }
    CHECK(watch.estimate(Role::coolant, 0.1)->period_s >= poll_s - 1e-6);
  }
}

TEST_CASE("cells that stay empty between polls are measured by the values that come") {
  Random random(9);
  RefreshWatch watch;
  for (int row = 0; row < 3000; ++row)
    watch.add(0.5 * row, row % 6 == 0 ? coolant_at(0.5 * row) : k_no_value);
  const auto refresh = watch.estimate(Role::coolant, 0.5);
  REQUIRE(refresh);
  CHECK(refresh->period_s == doctest::Approx(3.0));
  CHECK_FALSE(refresh->at_most);
}

TEST_CASE("of a column that hardly moves, or has no value, nothing is known") {
  RefreshWatch still;
  RefreshWatch empty;
  for (int row = 0; row < 1000; ++row) {
    still.add(row, row < 500 ? 80.0F : 81.0F);
    empty.add(row, k_no_value);
  }
  CHECK_FALSE(still.estimate(Role::coolant, 1.0));
  CHECK_FALSE(empty.estimate(Role::coolant, 1.0));
  CHECK_FALSE(RefreshWatch{}.estimate(Role::coolant, 1.0));
}
