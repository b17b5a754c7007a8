// SPDX-License-Identifier: Apache-2.0
// Refill arithmetic: every plan ends full and at its target, or says why there is none.
#include "circuit/refill.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <limits>

using namespace coolband;

namespace {

double concentration_after(const RefillTask& task, const Refill& refill) {
  const double left_l = task.capacity_l - refill.drain_l;
  return (left_l * task.present_pct + refill.product_l * task.product_pct) / task.capacity_l;
}

void check_plan(const RefillTask& task, const Refill& refill) {
  CHECK(std::abs(concentration_after(task, refill) - task.target_pct) <= 1e-5);
  CHECK(std::abs(refill.product_l + refill.water_l - refill.drain_l) <= 1e-5);
  CHECK(std::abs(refill.drain_l - task.missing_l - refill.more_to_drain_l) <= 1e-5);
  for (double litres : {refill.drain_l, refill.more_to_drain_l, refill.product_l, refill.water_l})
    CHECK(litres >= 0.0);
  CHECK(refill.drain_l <= task.capacity_l + 1e-5);
}

} // namespace

TEST_CASE("every plan there is ends full and at its target") {
  int plans = 0;
  for (double present : {0.0, 10.0, 33.0, 50.0, 60.0, 75.0}) {
    for (double target : {0.0, 25.0, 50.0, 60.0}) {
      for (double product : {30.0, 50.0, 60.0, 100.0}) {
        for (double missing : {0.0, 0.5, 3.0, 9.5}) {
          const RefillTask task{9.5, present, target, product, missing};
          CAPTURE(present);
          CAPTURE(target);
          CAPTURE(product);
          CAPTURE(missing);
          const auto refill = plan_refill(task);
          if (!refill) {
            // Only a weak product stands in the way.
            CHECK(product < target);
            CHECK(!refill.error().remedy.empty());
            continue;
          }
          ++plans;
          check_plan(task, *refill);
        }
      }
    }
  }
  CHECK(plans > 300);
}

TEST_CASE("room that is enough is filled without draining more") {
  const Refill refill = plan_refill({10.0, 40.0, 50.0, 100.0, 4.0}).value();
  CHECK(refill.more_to_drain_l == 0.0);
  CHECK(refill.product_l == doctest::Approx(2.6));
  CHECK(refill.water_l == doctest::Approx(1.4));
}

TEST_CASE("room that is too small names what is still to be drained") {
  const Refill stronger = plan_refill({10.0, 30.0, 50.0, 100.0, 1.0}).value();
  CHECK(stronger.more_to_drain_l == doctest::Approx(10.0 * 20.0 / 70.0 - 1.0));
  CHECK(stronger.water_l == 0.0);
  const Refill weaker = plan_refill({10.0, 60.0, 30.0, 100.0, 1.0}).value();
  CHECK(weaker.drain_l == doctest::Approx(5.0));
  CHECK(weaker.product_l == 0.0);
  CHECK(weaker.water_l == doctest::Approx(5.0));
}

TEST_CASE("a premix of the target's strength needs the whole system") {
  const Refill refill = plan_refill({8.0, 20.0, 50.0, 50.0, 2.0}).value();
  CHECK(refill.drain_l == doctest::Approx(8.0));
  CHECK(refill.product_l == doctest::Approx(8.0));
}

TEST_CASE("a system that is right needs nothing, and an empty one the mix itself") {
  const Refill nothing = plan_refill({8.0, 50.0, 50.0, 100.0, 0.0}).value();
  CHECK(nothing.drain_l == 0.0);
  CHECK(nothing.product_l == 0.0);
  const Refill empty = plan_refill({8.0, 0.0, 50.0, 100.0, 8.0}).value();
  CHECK(empty.product_l == doctest::Approx(4.0));
  CHECK(empty.water_l == doctest::Approx(4.0));
  const Refill water = plan_refill({8.0, 0.0, 0.0, 100.0, 3.0}).value();
  CHECK(water.product_l == 0.0);
  CHECK(water.water_l == doctest::Approx(3.0));
}

TEST_CASE("a product too weak is an error that says how strong it must be") {
  const auto weak = plan_refill({10.0, 30.0, 50.0, 40.0, 3.0});
  REQUIRE(!weak.ok());
  CHECK(weak.error().kind == ErrorKind::usage);
  CHECK(weak.error().message == "a product of 40 vol % cannot bring 30 vol % up to 50");
  CHECK(weak.error().remedy ==
        "take a product of at least 50 %; the stronger, the less must be drained");
  // Too much of a strong filling was drained: (10 * 50 - 2 * 60) / 8 = 47.5.
  const auto drained = plan_refill({10.0, 60.0, 50.0, 40.0, 8.0});
  REQUIRE(!drained.ok());
  CHECK(drained.error().remedy == "take a product of at least 47.5 %");
  check_plan({10.0, 60.0, 50.0, 47.5, 8.0}, plan_refill({10.0, 60.0, 50.0, 47.5, 8.0}).value());
}

TEST_CASE("numbers that are none are errors") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  for (const RefillTask& task :
       {RefillTask{0.0, 30, 50, 100, 0}, RefillTask{nan, 30, 50, 100, 0},
        RefillTask{10, nan, 50, 100, 0}, RefillTask{10, 30, 101, 100, 0},
        RefillTask{10, 30, 50, 0, 0}, RefillTask{10, 30, 50, 100, 11},
        RefillTask{10, 30, 50, 100, nan},
        RefillTask{std::numeric_limits<double>::infinity(), 30, 50, 100, 0}}) {
    const auto refill = plan_refill(task);
    REQUIRE(!refill.ok());
    CHECK(refill.error().kind == ErrorKind::usage);
    CHECK(!refill.error().remedy.empty());
  }
}
