// SPDX-License-Identifier: Apache-2.0
// Means and two one-sided tests at the edges of what they take.
#include "numeric/equivalence.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

using namespace coolband;

TEST_CASE("a mean of one value has no error, and of none no mean") {
  CHECK(std::isnan(mean_estimate({}).mean));
  const MeanEstimate one = mean_estimate({2.5});
  CHECK(one.mean == 2.5);
  CHECK(std::isnan(one.error));
  const MeanEstimate three = mean_estimate({1.0, 2.0, 3.0});
  CHECK(three.mean == doctest::Approx(2.0));
  CHECK(three.error == doctest::Approx(1.0 / std::sqrt(3.0)));
  CHECK(three.freedom == 2.0);
}

TEST_CASE("equivalence is shown only where the whole interval lies within the margin") {
  const MeanEstimate band{0.0, 0.2, 9.0};
  CHECK(two_one_sided_tests({0.4, 0.3, 3.0}, band, 3.0, 0.05).p() < 0.05);
  CHECK(two_one_sided_tests({2.6, 0.3, 3.0}, band, 3.0, 0.05).p() > 0.05);
  CHECK(two_one_sided_tests({0.4, 2.0, 1.0}, band, 3.0, 0.05).p() > 0.05);
  CHECK(two_one_sided_tests({-9.0, 0.3, 3.0}, band, 3.0, 0.05).p() > 0.99);
}

TEST_CASE("an error that is known exactly gives the normal distribution") {
  const double endless = std::numeric_limits<double>::infinity();
  const Equivalence test = two_one_sided_tests({0.0, 1.0, endless}, {0.0, 0.0, 0.0}, 2.0, 0.05);
  CHECK(test.high == doctest::Approx(1.6448536269514722));
  CHECK(test.p() == doctest::Approx(0.022750131948179));
}

TEST_CASE("what cannot be tested gives no number") {
  const MeanEstimate band{0.0, 0.2, 9.0};
  for (const Equivalence& test : {two_one_sided_tests(mean_estimate({1.0}), band, 3.0, 0.05),
                                  two_one_sided_tests({1.0, 0.0, 1.0}, {0.0, 0.0, 1.0}, 3.0, 0.05),
                                  two_one_sided_tests({1.0, 0.5, 0.0}, band, 3.0, 0.05),
                                  two_one_sided_tests({1.0, 0.5, 2.0}, band, 0.0, 0.05),
                                  two_one_sided_tests({1.0, 0.5, 2.0}, band, 3.0, 0.5)}) {
    CHECK(test.difference == doctest::Approx(1.0));
    CHECK(std::isnan(test.low));
    CHECK(std::isnan(test.high));
    CHECK_FALSE(test.p() < 0.05);
  }
}
