// SPDX-License-Identifier: Apache-2.0
// The arithmetic of a job against worked examples and published constants.
#include "repair/fasteners.hpp"
#include "repair/job_coolant.hpp"
#include "repair/missed_fault.hpp"
#include "repair/replace_together.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

using namespace coolband;

// C. E. Ebeling, An Introduction to Reliability and Maintainability Engineering, chapter on the
// Weibull distribution (from memory): shape 1/3, characteristic life 16 000 h; one in ten fails
// within 18.71 h when new, within 101.24 h after a burn-in of 10 h.
TEST_CASE("conditional failure by Weibull is that of the textbook's burn-in example") {
  CHECK(std::abs(failure_within(16000.0, 1.0 / 3.0, 0.0, 18.71) - 0.10) < 0.00005);
  CHECK(std::abs(failure_within(16000.0, 1.0 / 3.0, 10.0, 101.24) - 0.10) < 0.00005);
}

// The form of MIL-HDBK-338B 5.3.6; values worked out from it to six digits.
TEST_CASE("conditional failure by Weibull at three shapes") {
  CHECK(std::abs(failure_within(100.0, 1.0, 12.0, 30.0) - 0.259182) < 5e-7);
  CHECK(std::abs(failure_within(250.0, 2.0, 180.0, 60.0) - 0.331822) < 5e-7);
  CHECK(std::abs(failure_within(200.0, 3.0, 150.0, 50.0) - 0.439051) < 5e-7);
}

// ISO 898-1 (from memory): stress areas of coarse threads and proof stress 580 MPa of class 8.8;
// preload 75 % of the proof load, nut factor 0.15 oiled to 0.20 dry (Shigley, from memory).
TEST_CASE("the torque ranges hold what proof loads give, oiled and dry") {
  constexpr std::array<double, 4> k_areas_mm2{20.1, 36.6, 58.0, 84.3};
  REQUIRE(torque_ranges().size() == k_areas_mm2.size());
  for (std::size_t i = 0; i < k_areas_mm2.size(); ++i) {
    const TorqueRange& range = torque_ranges()[i];
    CAPTURE(range.size_mm);
    const double preload_n = 0.75 * 580.0 * k_areas_mm2[i];
    for (const double factor : {0.15, 0.20}) {
      const double torque_nm = factor * preload_n * range.size_mm / 1000.0;
      CHECK(torque_nm >= range.least_nm);
      CHECK(torque_nm <= range.most_nm);
    }
    for (const double usual : {range.oiled_nm, range.aluminium_nm}) {
      CHECK(usual >= range.least_nm);
      CHECK(usual <= range.most_nm);
    }
  }
}

// Common practice, no source: small housing bolts are tightened to about 24 N·m.
TEST_CASE("the trade's torque of an M8 housing bolt lies in the range of its size") {
  CHECK(torque_ranges()[1].size_mm == 8);
  CHECK(torque_ranges()[1].least_nm < 24.0);
  CHECK(torque_ranges()[1].most_nm > 24.0);
}

// p^k worked by hand, p the chance that one drive misses the fault.
TEST_CASE("clean drives leave p^k") {
  struct Example {
    double share;
    std::size_t drives;
    double left;
  };
  for (const Example& example : {Example{0.7, 3, 0.027}, {0.5, 5, 0.031}, {0.3, 9, 0.040}}) {
    const ShowingRate rate{0, 0, example.share};
    CHECK(std::abs(missed_chance(rate, example.drives) - example.left) < 0.0005);
    CHECK(clean_drives_needed(rate, 0.05) == example.drives);
  }
}

// Mixing examples worked by hand from V (ct - c0) / (ca - c0), volumes taken as additive.
TEST_CASE("a job's refill is the worked drain-and-replace volume") {
  struct Example {
    double capacity_l, present_pct, product_pct, replaced_l;
  };
  for (const Example& example :
       {Example{10, 30, 100, 2.857}, {8, 40, 100, 1.333}, {8, 40, 70, 2.667}}) {
    CoolantOptions options;
    options.capacity_l = example.capacity_l;
    options.drained_l = 1.0;
    options.present_pct = example.present_pct;
    options.target_pct = 50.0;
    options.product_pct = example.product_pct;
    const Refill refill = job_coolant(RepairKind::thermostat, {}, options).value()->refill.value();
    CHECK(std::abs(refill.drain_l - example.replaced_l) < 0.0006);
    CHECK(std::abs(refill.product_l - example.replaced_l) < 0.0006);
    CHECK(std::abs(refill.more_to_drain_l - (example.replaced_l - 1.0)) < 0.0006);
  }
}
