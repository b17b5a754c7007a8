// SPDX-License-Identifier: Apache-2.0
// What a wrong sensor circuit shows, and back. (The check values:
// tests/reference/circuit_test.cpp.)
#include "circuit/reduced_fault.hpp"

#include <doctest/doctest.h>

#include <vector>

using namespace coolband;

namespace {

ReducedFault wrong_sensor(double series_ohm, double leakage_ohm, double offset_k) {
  ReducedFault fault;
  fault.series_ohm = series_ohm;
  fault.leakage_per_ohm = leakage_ohm > 0.0 ? 1.0 / leakage_ohm : 0.0;
  fault.offset_k = offset_k;
  return fault;
}

} // namespace

TEST_CASE("a sound sensor shows what there is") {
  const ReducedFault sound;
  for (const double c : {-60.0, -40.0, 0.0, 90.0, 200.0}) {
    CHECK(sound.shown_c(c) == c);
    CHECK(sound.true_c(c) == c);
  }
}

TEST_CASE("what is shown leads back to what there is, whatever is wrong") {
  for (const ReducedFault& fault :
       {wrong_sensor(0.0, 0.0, -12.0), wrong_sensor(20.0, 0.0, 0.0), wrong_sensor(220.0, 0.0, 0.0),
        wrong_sensor(0.0, 6000.0, 0.0), wrong_sensor(0.0, 600.0, 0.0),
        wrong_sensor(100.0, 2000.0, 5.0)}) {
    CAPTURE(fault.series_ohm);
    CAPTURE(fault.leakage_per_ohm);
    for (double c = -40.0; c <= 140.0; c += 5.0)
      CHECK(fault.true_c(fault.shown_c(c)) == doctest::Approx(c).epsilon(1e-6));
  }
}

TEST_CASE("resistance in the lead reads cold, most of all when hot; a leak reads hot when cold") {
  const ReducedFault series = wrong_sensor(100.0, 0.0, 0.0);
  const ReducedFault leak = wrong_sensor(0.0, 1000.0, 0.0);
  for (double c = -30.0; c < 120.0; c += 10.0) {
    CHECK(series.shown_c(c) < c);
    CHECK(leak.shown_c(c) > c);
    CHECK(series.shown_c(c + 10.0) - (c + 10.0) < series.shown_c(c) - c);
    CHECK(leak.shown_c(c + 10.0) - (c + 10.0) < leak.shown_c(c) - c);
    CHECK(series.shown_c(c + 10.0) > series.shown_c(c));
    CHECK(leak.shown_c(c + 10.0) > leak.shown_c(c));
  }
}

TEST_CASE("a reading that no such circuit can show means as hot, or as cold, as coolant gets") {
  // 66 ohm at 140 °C: with 220 ohm in the lead nothing can read hotter than about 90 °C.
  CHECK(wrong_sensor(220.0, 0.0, 0.0).true_c(120.0) == 140.0);
  // 600 ohm beside it: nothing can read colder than about 59 °C.
  CHECK(wrong_sensor(0.0, 600.0, 0.0).true_c(20.0) == -40.0);
}
