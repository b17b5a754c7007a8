// SPDX-License-Identifier: Apache-2.0
// Mixing examples, worked by hand from V (ct - c0) / (ca - c0) with volumes taken as additive.
#include "circuit/refill.hpp"

#include "coolband/circuit/coolant_fluid.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>

using namespace coolband;

TEST_CASE("drain-and-replace volumes are those of the worked examples") {
  struct Example {
    RefillTask task;
    double replaced_l;
  };
  for (const Example& example : {Example{{10.0, 30.0, 50.0, 100.0, 0.0}, 2.857},
                                 Example{{8.0, 40.0, 50.0, 100.0, 0.0}, 1.333},
                                 Example{{8.0, 40.0, 50.0, 70.0, 0.0}, 2.667}}) {
    CAPTURE(example.replaced_l);
    const RefillTask& task = example.task;
    CHECK(std::abs(exchange_volume_l(task.capacity_l, task.present_pct, task.target_pct,
                                     task.product_pct) -
                   example.replaced_l) <= 0.0006);
    const Refill refill = plan_refill(task).value();
    CHECK(std::abs(refill.drain_l - example.replaced_l) <= 0.0006);
    CHECK(std::abs(refill.product_l - example.replaced_l) <= 0.0006);
    CHECK(refill.water_l == 0.0);
  }
}

// 6.5 L of 50 % and 1.5 L of water; freezing by ASHRAE's curve.
TEST_CASE("a top-up with water weakens the mix as in the worked example") {
  const double after_pct = mixed_pct(8.0, 50.0, 1.5, 0.0);
  CHECK(after_pct == doctest::Approx(40.625));
  CHECK(std::abs(freezing_point_c({Glycol::ethylene, 50.0}).value() - -37.0) <= 0.2);
  CHECK(std::abs(freezing_point_c({Glycol::ethylene, after_pct}).value() - -25.4) <= 0.2);
}
