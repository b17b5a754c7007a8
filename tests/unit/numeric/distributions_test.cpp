// SPDX-License-Identifier: Apache-2.0
// Distributions at their ends, and each inverse against its function.
#include "numeric/distributions.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <limits>

using namespace coolband;

TEST_CASE("the normal quantile undoes the distribution function far into the tails") {
  for (double p : {1e-300, 1e-100, 1e-20, 1e-8, 0.001, 0.02, 0.3, 0.5})
    CHECK(normal_cdf(normal_quantile(p)) == doctest::Approx(p).epsilon(1e-12));
  CHECK(normal_quantile(0.5) == doctest::Approx(0.0).epsilon(1e-15));
  CHECK(normal_quantile(0.9) == doctest::Approx(-normal_quantile(0.1)).epsilon(1e-14));
}

TEST_CASE("the normal quantile is infinite at the ends and not a number beyond") {
  CHECK(normal_quantile(0.0) == -std::numeric_limits<double>::infinity());
  CHECK(normal_quantile(1.0) == std::numeric_limits<double>::infinity());
  CHECK(std::isnan(normal_quantile(-0.1)));
  CHECK(std::isnan(normal_quantile(1.1)));
  CHECK(std::isnan(normal_quantile(std::nan(""))));
}

// With 2 degrees the distribution is exponential: 1 - exp(-x/2).
TEST_CASE("chi-squared with two degrees is the exponential distribution") {
  for (double x : {1e-9, 0.1, 1.0, 3.0, 4.0, 5.0, 20.0, 100.0})
    CHECK(chi_squared_cdf(x, 2) == doctest::Approx(-std::expm1(-0.5 * x)).epsilon(1e-13));
}

// With 1 degree it is the square of a normal.
TEST_CASE("chi-squared with one degree is a squared normal") {
  for (double z : {0.01, 0.5, 1.0, 1.96, 4.0})
    CHECK(chi_squared_cdf(z * z, 1) == doctest::Approx(1.0 - 2.0 * normal_cdf(-z)).epsilon(1e-13));
}

// Repeated integration by parts: F(x; ν) - F(x; ν + 2) = (x/2)^{ν/2} e^{-x/2} / Γ(ν/2 + 1).
TEST_CASE("the two ways to compute chi-squared join without a step") {
  for (double freedom : {3.0, 27.9, 28.1, 31.0, 200.0, 5000.0}) {
    for (double share : {0.7, 0.97, 1.0, 1.03, 1.3}) {
      CAPTURE(freedom);
      CAPTURE(share);
      const double x = share * freedom;
      const double a = 0.5 * freedom;
      const double step = std::exp(a * std::log(0.5 * x) - 0.5 * x - std::lgamma(a + 1.0));
      const double difference = chi_squared_cdf(x, freedom) - chi_squared_cdf(x, freedom + 2.0);
      CHECK(std::abs(difference - step) <= 1e-12);
    }
  }
}

TEST_CASE("the chi-squared quantile undoes the distribution function") {
  for (double freedom : {0.1, 1.0, 2.5, 9.0, 42.0, 1e4, 1e6})
    for (double p : {1e-10, 0.01, 0.05, 0.5, 0.95, 0.999}) {
      CAPTURE(freedom);
      CAPTURE(p);
      CHECK(chi_squared_cdf(chi_squared_quantile(p, freedom), freedom) ==
            doctest::Approx(p).epsilon(1e-9));
    }
}

TEST_CASE("the density of chi-squared is the slope of its distribution function") {
  for (double freedom : {0.7, 3.0, 29.9, 30.1, 200.0}) {
    const ChiSquared chi_squared(freedom);
    for (double share : {0.3, 1.0, 1.6}) {
      const double x = share * freedom;
      const double step = 1e-5 * x;
      const double slope =
          (chi_squared.at(x + step).cdf - chi_squared.at(x - step).cdf) / (2.0 * step);
      CHECK(chi_squared.at(x).density == doctest::Approx(slope).epsilon(1e-6));
      CHECK(chi_squared.at(x).cdf == chi_squared_cdf(x, freedom));
      CHECK(chi_squared.at(x).density == chi_squared_density(x, freedom));
    }
    CHECK(chi_squared.at(0.0).density == 0.0);
    CHECK(chi_squared.at(std::numeric_limits<double>::infinity()).cdf == 1.0);
  }
}

TEST_CASE("chi-squared has sane ends and refuses what makes no sense") {
  CHECK(chi_squared_cdf(-1.0, 3) == 0.0);
  CHECK(chi_squared_cdf(0.0, 3) == 0.0);
  CHECK(chi_squared_cdf(1e9, 3) == 1.0);
  CHECK(chi_squared_cdf(1.0, 1e7) == 0.0);
  CHECK(chi_squared_quantile(0.0, 3) == 0.0);
  CHECK(std::isinf(chi_squared_quantile(1.0, 3)));
  CHECK(std::isnan(chi_squared_cdf(1.0, 0.0)));
  CHECK(std::isnan(chi_squared_quantile(0.5, -1.0)));
  CHECK(std::isnan(chi_squared_quantile(1.5, 3)));
}

TEST_CASE("the tolerance factor tends to the normal quantile for endless data") {
  CHECK(tolerance_factor(1e7, 1e7, 0.95, 0.95) ==
        doctest::Approx(normal_quantile(0.975)).epsilon(2e-3));
}

// With the spread known, k is the half width that holds the content from a mean that is off by
// the two-sided confidence quantile.
TEST_CASE("with endless freedom only the place of the mean is uncertain") {
  for (double n : {2.0, 5.0, 50.0}) {
    CAPTURE(n);
    const double k = tolerance_factor(n, 1e6, 0.95, 0.95);
    const double offset = normal_quantile(0.975) / std::sqrt(n);
    CHECK(normal_cdf(offset + k) - normal_cdf(offset - k) == doctest::Approx(0.95).epsilon(1e-3));
  }
}

TEST_CASE("fewer effective observations and more demands widen the tolerance interval") {
  const double k = tolerance_factor(12.5, 9.3, 0.95, 0.95);
  CHECK(tolerance_factor(6.0, 9.3, 0.95, 0.95) > k);
  CHECK(tolerance_factor(12.5, 5.0, 0.95, 0.95) > k);
  CHECK(tolerance_factor(12.5, 9.3, 0.99, 0.95) > k);
  CHECK(tolerance_factor(12.5, 9.3, 0.95, 0.99) > k);
}

TEST_CASE("a tolerance factor needs data, freedom and shares between 0 and 1") {
  CHECK(std::isnan(tolerance_factor(0.0, 9, 0.95, 0.95)));
  CHECK(std::isnan(tolerance_factor(10, 0.0, 0.95, 0.95)));
  CHECK(std::isnan(tolerance_factor(10, 9, 1.0, 0.95)));
  CHECK(std::isnan(tolerance_factor(10, 9, 0.95, 0.0)));
  CHECK(std::isnan(tolerance_factor_howe(10, 9, 0.95, 1.0)));
  CHECK(std::isfinite(tolerance_factor(0.5, 0.8, 0.95, 0.95)));
}

TEST_CASE("a tolerance factor is the same whatever was asked for before") {
  const double k = tolerance_factor(0.64, 23.7, 0.95, 0.95);
  const double other = tolerance_factor(4.0, 11.0, 0.9, 0.99);
  // More numbers than are kept.
  for (int i = 1; i <= 300; ++i) CHECK(tolerance_factor(0.5 + 0.01 * i, 40.0, 0.95, 0.95) > 1.9);
  CHECK(tolerance_factor(0.64, 23.7, 0.95, 0.95) == k);
  CHECK(tolerance_factor(4.0, 11.0, 0.9, 0.99) == other);
  CHECK(tolerance_factor(0.64, 23.7, 0.9, 0.95) < k);
}
