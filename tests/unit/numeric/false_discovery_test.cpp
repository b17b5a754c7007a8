// SPDX-License-Identifier: Apache-2.0
#include "numeric/false_discovery.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <vector>

using namespace coolband;

TEST_CASE("adjusted p-values keep the order of the tests and never fall below the p-values") {
  const std::vector<double> p{0.04, 0.001, 0.9, 0.02};
  const auto adjusted = adjusted_p_values(p, Dependence::positive);
  CHECK(adjusted[1] == doctest::Approx(0.004));
  CHECK(adjusted[3] == doctest::Approx(0.04));
  CHECK(adjusted[0] == doctest::Approx(0.16 / 3.0));
  CHECK(adjusted[2] == doctest::Approx(0.9));
}

TEST_CASE("what is no test does not count") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const auto adjusted = adjusted_p_values(std::vector{nan, 0.02, nan, 0.04}, Dependence::positive);
  CHECK(std::isnan(adjusted[0]));
  CHECK(adjusted[1] == doctest::Approx(0.04));
  CHECK(adjusted[3] == doctest::Approx(0.04));
  CHECK(adjusted_p_values({}, Dependence::arbitrary).empty());
}

TEST_CASE("one test alone is not adjusted, whatever the dependence") {
  for (const Dependence dependence : {Dependence::positive, Dependence::arbitrary})
    CHECK(adjusted_p_values(std::vector{0.03}, dependence)[0] == doctest::Approx(0.03));
}
