// SPDX-License-Identifier: Apache-2.0
// Limits and order of the effectiveness formulas; their tables are in the reference tests.
#include "circuit/radiator.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>

using namespace coolband;

TEST_CASE("with nothing to warm on the other side all exchangers are alike") {
  for (const double units : {0.0, 0.3, 1.0, 4.0}) {
    const double alone = 1.0 - std::exp(-units);
    CHECK(effectiveness_larger_mixed(units, 0.0) == doctest::Approx(alone));
    CHECK(effectiveness_counterflow(units, 0.0) == doctest::Approx(alone));
    CHECK(effectiveness_both_unmixed(units, 0.0) == doctest::Approx(alone));
    CHECK(effectiveness_larger_mixed(units, 1e-6) == doctest::Approx(alone).epsilon(1e-5));
    CHECK(effectiveness_counterflow(units, 1e-6) == doctest::Approx(alone).epsilon(1e-5));
    CHECK(effectiveness_both_unmixed(units, 1e-6) == doctest::Approx(alone).epsilon(1e-5));
  }
}

TEST_CASE("counterflow passes its removable singularity at equal capacity rates") {
  const double at = effectiveness_counterflow(2.0, 1.0);
  CHECK(at == doctest::Approx(2.0 / 3.0));
  CHECK(effectiveness_counterflow(2.0, 1.0 - 1e-7) == doctest::Approx(at).epsilon(1e-6));
}

TEST_CASE("no cross-flow exchanger beats counterflow, and more surface never hurts") {
  for (const double ratio : {0.1, 0.5, 0.9, 1.0}) {
    double before = 0.0;
    for (double units = 0.1; units < 8.0; units += 0.1) {
      const double mixed = effectiveness_larger_mixed(units, ratio);
      CHECK(mixed > before);
      CHECK(mixed <= effectiveness_counterflow(units, ratio));
      CHECK(effectiveness_both_unmixed(units, ratio) <=
            effectiveness_counterflow(units, ratio) + 1e-3);
      before = mixed;
    }
  }
}

TEST_CASE("for a car's radiator, mixed or not hardly matters") {
  // Up to two transfer units; why the circuit can do with the formula that costs two exponentials.
  for (double units = 0.1; units <= 2.0; units += 0.1) {
    for (const double ratio : {0.1, 0.25, 0.5}) {
      const double unmixed = effectiveness_both_unmixed(units, ratio);
      CHECK(std::abs(effectiveness_larger_mixed(units, ratio) - unmixed) < 0.055 * unmixed);
    }
  }
}
