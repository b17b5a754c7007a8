// SPDX-License-Identifier: Apache-2.0
// Autocorrelation and effective counts at their edges.
#include "numeric/autocorrelation.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <random>

using namespace coolband;

TEST_CASE("an empty series has no autocorrelation and is worth nothing") {
  CHECK(autocorrelation({}, 5).empty());
  CHECK(effective_count({}) == 0.0);
  CHECK(effective_count_ar1(0.0, 0.5) == 0.0);
}

TEST_CASE("a constant series is correlated with itself only at lag 0") {
  const std::vector<double> series(10, 80.1);
  CHECK(autocorrelation(series, 3) == std::vector<double>{1.0, 0.0, 0.0, 0.0});
  CHECK(effective_count(series) == 10.0);
}

// By hand: 1, 2, 3, 4 has deviations -1.5, -0.5, 0.5, 1.5 with squares summing to 5.
TEST_CASE("the autocorrelation of four numbers is what the hand computes") {
  const std::vector<double> series{1.0, 2.0, 3.0, 4.0};
  const std::vector<double> rho = autocorrelation(series, 99);
  REQUIRE(rho.size() == 4);
  CHECK(rho[1] == doctest::Approx(1.25 / 5.0));
  CHECK(rho[2] == doctest::Approx(-1.5 / 5.0));
  CHECK(rho[3] == doctest::Approx(-2.25 / 5.0));
  CHECK(autocorrelation(series, -1).size() == 1);
  CHECK(effective_count(series) == doctest::Approx(4.0 / (1.0 + 2.0 * 0.75 * 0.25)));
}

TEST_CASE("every lag of a short series is the sum of its products") {
  std::mt19937 random(5);
  std::normal_distribution<double> noise;
  for (std::size_t length = 1; length < 24; ++length) {
    std::vector<double> series(length);
    double sum = 0.0;
    for (double& x : series) sum += x = noise(random);
    for (double& x : series) x -= sum / static_cast<double>(length);
    double power = 0.0;
    for (const double x : series) power += x * x;
    const std::vector<double> rho = autocorrelation(series, 99);
    REQUIRE(rho.size() == length);
    for (std::size_t lag = 1; lag < length; ++lag) {
      double products = 0.0;
      for (std::size_t i = 0; i + lag < length; ++i) products += series[i] * series[i + lag];
      CHECK(rho[lag] == doctest::Approx(products / power));
    }
  }
}

TEST_CASE("an alternating series is worth its count and no more") {
  CHECK(effective_count(std::vector<double>{1.0, -1.0, 1.0, -1.0, 1.0, -1.0}) == 6.0);
}

TEST_CASE("a long autoregressive series is worth about what its correlation says") {
  std::mt19937 random(11);
  std::normal_distribution<double> noise;
  std::vector<double> series(200000);
  double value = 0.0;
  for (double& x : series) x = value = 0.8 * value + noise(random);
  const double expected = effective_count_ar1(200000, 0.8);
  CHECK(effective_count(series) == doctest::Approx(expected).epsilon(0.15));
  CHECK(autocorrelation(series, 2)[2] == doctest::Approx(0.64).epsilon(0.02));
}

TEST_CASE("scale and shift do not change the worth of a series") {
  std::mt19937 random(3);
  std::normal_distribution<double> noise;
  std::vector<double> series(500);
  double value = 0.0;
  for (double& x : series) x = value = 0.9 * value + noise(random);
  const double count = effective_count(series);
  for (double& x : series) x = 1.8 * x + 32.0;
  CHECK(effective_count(series) == doctest::Approx(count).epsilon(1e-9));
}

TEST_CASE("the closed form equals the sum term by term for every correlation") {
  for (double rho : {1e-6, 0.3, 0.9, 0.999, 0.999999, 1.0 - 1e-8, 1.0 - 1e-9, 1.0 - 1e-12}) {
    CAPTURE(rho);
    const int n = 250;
    double inflation = 1.0;
    for (int k = 1; k < n; ++k)
      inflation += 2.0 * (1.0 - static_cast<double>(k) / n) * std::pow(rho, k);
    CHECK(effective_count_ar1(n, rho) == doctest::Approx(n / inflation).epsilon(1e-8));
  }
}

TEST_CASE("an impossible or negative correlation keeps the count between 1 and n") {
  CHECK(effective_count_ar1(50, -0.5) == 50.0);
  CHECK(effective_count_ar1(50, 0.0) == 50.0);
  CHECK(effective_count_ar1(50, 1.0) == 1.0);
  CHECK(effective_count_ar1(1, 0.9) == 1.0);
}
