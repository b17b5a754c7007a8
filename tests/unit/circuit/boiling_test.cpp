// SPDX-License-Identifier: Apache-2.0
// The quick boiling curve against the full one.
#include "circuit/boiling.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>

using namespace coolband;

TEST_CASE("the quick boiling curve keeps within a hundredth of a kelvin, on the low side") {
  for (const CoolantMix mix : {CoolantMix{Glycol::none, 0.0}, CoolantMix{Glycol::ethylene, 50.0},
                               CoolantMix{Glycol::propylene, 40.0}}) {
    BoilingCurve curve(mix);
    for (double kpa = 50.0; kpa < 260.0; kpa += 0.7) {
      const double full = boiling_point_c(mix, kpa).value();
      CHECK(curve.at(kpa) <= full + 1e-6);
      CHECK(curve.at(kpa) > full - 0.01);
    }
  }
}

TEST_CASE("it answers alike whatever was asked before, and holds pressures within its range") {
  BoilingCurve curve({});
  const double first = curve.at(197.3);
  CHECK(curve.at(61.0) < first);
  CHECK(curve.at(197.3) == first);
  CHECK(curve.at(-5.0) == curve.at(20.0));
  CHECK(std::isfinite(curve.at(1e9)));
}
