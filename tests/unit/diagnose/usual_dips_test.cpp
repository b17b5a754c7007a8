// SPDX-License-Identifier: Apache-2.0
// When a count of dips is news, and what becomes of a vehicle whose reading never rests.
#include "diagnose/usual_dips.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

NormalBand with_rate(double per_h, double scatter) {
  NormalBand band = made_band();
  band.traits.dips_per_h = Trait{per_h, 0.0, scatter, 12};
  return band;
}

Dips counted(std::size_t warm, double hours) {
  Dips dips;
  dips.seen = true;
  dips.warm = warm;
  dips.warm_s = 3600.0 * hours;
  return dips;
}

} // namespace

TEST_CASE("where no drives tell a rate any dip is news") {
  CHECK(more_than_usual(counted(1, 1.0), made_band()));
  CHECK_FALSE(more_than_usual(counted(0, 1.0), made_band()));
}

TEST_CASE("where the drives never dip any dip is news, too") {
  CHECK(more_than_usual(counted(1, 1.0), with_rate(0.0, 0.0)));
}

TEST_CASE("against a rate it takes more than its count's own error") {
  // Poisson of 9: beyond 9 + 2.326 * 3 = 15.98.
  CHECK_FALSE(more_than_usual(counted(15, 1.0), with_rate(9.0, 0.0)));
  CHECK(more_than_usual(counted(16, 1.0), with_rate(9.0, 0.0)));
  // Half the time, half the dips: beyond 4.5 + 2.326 * 2.12 = 9.43.
  CHECK(more_than_usual(counted(10, 0.5), with_rate(9.0, 0.0)));
  // A rate that varies by 4 from drive to drive: beyond 9 + 2.326 * 5 = 20.6.
  CHECK_FALSE(more_than_usual(counted(20, 1.0), with_rate(9.0, 4.0)));
  CHECK(more_than_usual(counted(21, 1.0), with_rate(9.0, 4.0)));
}

TEST_CASE("a reading is restless where it certainly changes course by half a kelvin") {
  Traits traits;
  CHECK_FALSE(is_restless(traits));
  traits.roughness_k = Trait{0.8, 0.1, 0.2, 10};
  CHECK(is_restless(traits));
  traits.roughness_k = Trait{0.6, 0.1, 0.2, 10};
  CHECK_FALSE(is_restless(traits)); // it may be less
  traits.roughness_k = Trait{0.3, 0.01, 0.1, 10};
  CHECK_FALSE(is_restless(traits));
}
