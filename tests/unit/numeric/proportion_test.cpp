// SPDX-License-Identifier: Apache-2.0
// Intervals for a share: their ends, symmetry, coverage and refusals.
#include "numeric/proportion.hpp"

#include "numeric/distributions.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>

using namespace coolband;

namespace {

// Probability that the interval holds the true share, over all outcomes of n trials.
template <class Interval>
double coverage(Interval&& interval_of, int trials, double share) {
  double sum = 0.0;
  for (int k = 0; k <= trials; ++k) {
    const ShareInterval interval = interval_of(k, trials, 0.95);
    if (share < interval.low || share > interval.high) continue;
    sum +=
        std::exp(std::lgamma(trials + 1.0) - std::lgamma(k + 1.0) - std::lgamma(trials - k + 1.0) +
                 k * std::log(share) + (trials - k) * std::log1p(-share));
  }
  return sum;
}

} // namespace

TEST_CASE("intervals of a share and of its opposite mirror each other") {
  for (const auto interval_of : {wilson_interval, clopper_pearson_interval}) {
    const ShareInterval some = interval_of(3.0, 17.0, 0.9);
    const ShareInterval others = interval_of(14.0, 17.0, 0.9);
    CHECK(some.low == doctest::Approx(1.0 - others.high).epsilon(1e-13));
    CHECK(some.high == doctest::Approx(1.0 - others.low).epsilon(1e-13));
    CHECK(some.low < 3.0 / 17.0);
    CHECK(some.high > 3.0 / 17.0);
  }
}

TEST_CASE("none or all leave one end of the interval at 0 or 1") {
  for (const auto interval_of : {wilson_interval, clopper_pearson_interval}) {
    CHECK(interval_of(0.0, 20.0, 0.95).low == 0.0);
    CHECK(interval_of(20.0, 20.0, 0.95).high == 1.0);
    CHECK(interval_of(0.0, 20.0, 0.95).high < 0.2);
    CHECK(interval_of(0.0, 0.0, 0.95).low == 0.0);
    CHECK(interval_of(0.0, 0.0, 0.95).high == 1.0);
  }
}

// Zero events of n: (1 - p)^n = tail.
TEST_CASE("without an event the exact upper end has a closed form") {
  for (const double n : {1.0, 20.0, 1e5})
    CHECK(clopper_pearson_interval(0.0, n, 0.9).high ==
          doctest::Approx(-std::expm1(std::log(0.05) / n)).epsilon(1e-11));
}

TEST_CASE("the exact interval covers at least as often as it says, the other on average") {
  double mean = 0.0;
  int shares = 0;
  for (double share = 0.02; share < 0.99; share += 0.02) {
    CAPTURE(share);
    CHECK(coverage(clopper_pearson_interval, 25, share) >= 0.95);
    CHECK(coverage(wilson_interval, 25, share) >= 0.83);
    mean += coverage(wilson_interval, 25, share);
    ++shares;
  }
  CHECK(mean / shares == doctest::Approx(0.95).epsilon(0.01));
}

TEST_CASE("counts and confidences out of range give no interval") {
  for (const auto interval_of : {wilson_interval, clopper_pearson_interval}) {
    CHECK(std::isnan(interval_of(-1.0, 20.0, 0.95).low));
    CHECK(std::isnan(interval_of(21.0, 20.0, 0.95).high));
    CHECK(std::isnan(interval_of(1.0, 20.0, 1.0).low));
    CHECK(std::isnan(interval_of(1.0, 20.0, 0.0).low));
    CHECK(std::isnan(interval_of(std::nan(""), 20.0, 0.9).low));
  }
}
