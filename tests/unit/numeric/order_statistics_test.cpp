// SPDX-License-Identifier: Apache-2.0
// Medians, quantiles and spreads at their edges.
#include "coolband/numeric/order_statistics.hpp"

#include "numeric/distributions.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

using namespace coolband;

namespace {
constexpr double k_nan = std::numeric_limits<double>::quiet_NaN();
}

TEST_CASE("no values have no quantile, median or spread") {
  CHECK(std::isnan(quantile({}, 0.5)));
  CHECK(std::isnan(quantile_sorted({}, 0.5)));
  CHECK(std::isnan(median({})));
  CHECK(std::isnan(mad_sigma({})));
  CHECK(std::isnan(weighted_median({}, {})));
}

TEST_CASE("one NaN among the values makes the result NaN") {
  CHECK(std::isnan(median({1.0, k_nan, 3.0})));
  CHECK(std::isnan(mad_sigma({1.0, 2.0, k_nan})));
  CHECK(std::isnan(quantile({k_nan}, 0.0)));
  CHECK(std::isnan(quantile({1.0, 2.0}, k_nan)));
}

TEST_CASE("the median of an even count is the mean of the middle two") {
  CHECK(median({4.0, 1.0, 3.0, 2.0}) == 2.5);
  CHECK(median({5.0, 1.0, 3.0}) == 3.0);
  CHECK(median({7.0}) == 7.0);
}

// The worked example of Hyndman & Fan's type 7 that follows from its definition h = (n - 1) p.
TEST_CASE("quantiles interpolate between order statistics and clamp p") {
  const std::vector<double> values{40.0, 10.0, 30.0, 20.0};
  CHECK(quantile(values, 0.25) == doctest::Approx(17.5).epsilon(1e-15));
  CHECK(quantile(values, 0.9) == doctest::Approx(37.0).epsilon(1e-15));
  CHECK(quantile(values, -1.0) == 10.0);
  CHECK(quantile(values, 2.0) == 40.0);
}

TEST_CASE("infinities are values like others") {
  const double infinity = std::numeric_limits<double>::infinity();
  CHECK(median({infinity, infinity, 1.0, infinity}) == infinity);
  CHECK(median({-infinity, 0.0, infinity}) == 0.0);
}

TEST_CASE("selection and sorting give the same quantiles") {
  std::mt19937 random(7);
  std::uniform_int_distribution<int> digit(0, 20);
  for (std::size_t count = 1; count < 40; ++count) {
    std::vector<double> values(count);
    for (double& value : values) value = digit(random);
    std::vector<double> ascending = values;
    std::sort(ascending.begin(), ascending.end());
    for (double p = 0.0; p <= 1.0; p += 0.0625)
      CHECK(quantile(values, p) == quantile_sorted(ascending, p));
  }
}

TEST_CASE("the factor of the MAD is the reciprocal of the normal quartile") {
  CHECK(k_mad_to_sigma == doctest::Approx(1.0 / normal_quantile(0.75)).epsilon(1e-15));
}

TEST_CASE("the spread is zero when more than half of the values agree") {
  CHECK(mad_sigma({80.0, 80.0, 80.0, 1.0, 99.0}) == 0.0);
  CHECK(mad_sigma({1.0, 2.0, 3.0, 4.0, 5.0}) == doctest::Approx(k_mad_to_sigma).epsilon(1e-15));
}

TEST_CASE("the spread follows scale, ignores shift and survives wild values") {
  CHECK(mad_sigma({10.0, 20.0, 30.0, 40.0, 50.0}) ==
        doctest::Approx(10.0 * mad_sigma({1.0, 2.0, 3.0, 4.0, 5.0})).epsilon(1e-14));
  CHECK(mad_sigma({101.0, 102.0, 103.0, 104.0, 105.0}) ==
        doctest::Approx(mad_sigma({1.0, 2.0, 3.0, 4.0, 5.0})).epsilon(1e-14));
  CHECK(mad_sigma({1.0, 2.0, 3.0, 1e9, -1e9}) == doctest::Approx(k_mad_to_sigma).epsilon(1e-15));
}

TEST_CASE("the weighted median is the first value that reaches half of the weight") {
  const std::vector<double> values{3.0, 1.0, 2.0};
  CHECK(weighted_median(values, std::vector<double>{1.0, 1.0, 1.0}) == 2.0);
  CHECK(weighted_median(values, std::vector<double>{5.0, 1.0, 1.0}) == 3.0);
  CHECK(weighted_median(values, std::vector<double>{0.0, 1.0, 1.0}) == 1.0);
  CHECK(weighted_median(values, std::vector<double>{0.1, 0.2, 0.0}) == 1.0);
}

TEST_CASE("without weight, or with too few weights, there is no weighted median") {
  const std::vector<double> values{3.0, 1.0, 2.0};
  CHECK(std::isnan(weighted_median(values, std::vector<double>{0.0, 0.0, 0.0})));
  CHECK(std::isnan(weighted_median(values, std::vector<double>{1.0})));
}
