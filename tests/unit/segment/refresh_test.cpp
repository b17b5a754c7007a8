// SPDX-License-Identifier: Apache-2.0
// The polling period behind rows that only repeat the last answer.
#include "segment/refresh.hpp"

#include "support/random.hpp"
#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>
#include <limits>
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

namespace {

struct Polled {
  std::vector<double> times_s;
  std::vector<float> values;
};

/// Rows that do not keep step, some at one time, with values that often stay.
Polled polled(std::uint64_t seed) {
  Random random(seed);
  Polled rows;
  double time_s = 0.0;
  float value = 1.0F;
  for (int row = 0; row < 500; ++row) {
    if (random.below(10) > 0) time_s += random.between(0.05, 0.4);
    if (random.below(3) == 0) value += static_cast<float>(random.below(5)) - 2.0F;
    rows.times_s.push_back(time_s);
    rows.values.push_back(value);
  }
  return rows;
}

void check_same(const RefreshWatch& a, const RefreshWatch& b) {
  for (const double row_s : {0.05, 0.5}) {
    const auto one = a.estimate(Role::load, row_s);
    const auto other = b.estimate(Role::load, row_s);
    REQUIRE(one.has_value() == other.has_value());
    if (!one) continue;
    CHECK(one->period_s == other->period_s);
    CHECK(one->at_most == other->at_most);
  }
}

} // namespace

TEST_CASE("many rows at once tell what they tell beside a row without a value") {
  constexpr float k_none = std::numeric_limits<float>::quiet_NaN();
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    Polled rows = polled(seed);
    RefreshWatch in_parts;
    in_parts.add(rows.times_s, rows.values);
    in_parts.add(1e3, k_none);
    rows.times_s.push_back(1e3);
    rows.values.push_back(k_none);
    RefreshWatch at_once;
    at_once.add(rows.times_s, rows.values);
    check_same(in_parts, at_once);
  }
}

TEST_CASE("a few intervals that are longer than the shortest count with their length") {
  RefreshWatch watch;
  double time_s = 0.0;
  double sum_s = 0.0;
  for (int change = 0; change <= 100; ++change) {
    watch.add(time_s, static_cast<float>(change % 7) + 0.1F * static_cast<float>(change));
    const double step_s = change % 4 == 3 ? 1.25 : 1.0;
    time_s += step_s;
    if (change < 100) sum_s += step_s;
  }
  const auto refresh = watch.estimate(Role::rpm, 0.1);
  REQUIRE(refresh);
  // The first change is the second row, from which on there are intervals.
  CHECK(refresh->period_s == doctest::Approx((sum_s - 1.0) / 99.0).epsilon(1e-9));
}
