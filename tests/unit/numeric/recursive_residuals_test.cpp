// SPDX-License-Identifier: Apache-2.0
#include "numeric/distributions.hpp"
#include "numeric/recursive_residuals.hpp"
#include "numeric/splitmix.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

using namespace coolband;

TEST_CASE("the first value gives the level, wherever it lies") {
  RecursiveResiduals regression({});
  CHECK(std::abs(regression.residual(1000.0, {}, 1.0)) < 0.2);
  CHECK(regression.residual(1001.0, {}, 1.0) ==
        doctest::Approx(1.0 / std::sqrt(2.0)).epsilon(1e-4));
}

TEST_CASE("conditions not met before make a deviation count less") {
  const std::array<double, 1> errors{1.0};
  RecursiveResiduals regression(errors);
  const std::array<double, 1> usual{0.0};
  const std::array<double, 1> unusual{3.0};
  for (int i = 0; i < 50; ++i) regression.residual(0.0, usual, 1.0);
  RecursiveResiduals other = regression;
  CHECK(regression.residual(4.0, usual, 1.0) > 3.8);
  CHECK(other.residual(4.0, unusual, 1.0) < 1.3);
}

TEST_CASE("a wild value moves the coefficients no more than one of three standard errors") {
  RecursiveResiduals wild({});
  RecursiveResiduals tame({});
  for (int i = 0; i < 20; ++i) {
    wild.residual(0.0, {}, 1.0);
    tame.residual(0.0, {}, 1.0);
  }
  wild.residual(1e6, {}, 1.0);
  tame.residual(3.0 * std::sqrt(1.0 + 1.0 / 20.0), {}, 1.0);
  CHECK(wild.residual(0.0, {}, 1.0) == doctest::Approx(tame.residual(0.0, {}, 1.0)).epsilon(1e-4));
}

TEST_CASE("residuals of values that follow the model are of unit scatter and independent") {
  const std::array<double, 2> errors{1.0, 0.5};
  RecursiveResiduals regression(errors);
  SplitMix random(17);
  double square = 0.0;
  double lagged = 0.0;
  double last = 0.0;
  constexpr int k_values = 4000;
  for (int i = 0; i < k_values; ++i) {
    const std::array<double, 2> x{std::sin(0.02 * i), random.share()};
    const double noise = normal_quantile(random.share() + 1e-17);
    const double residual = regression.residual(7.0 + 0.8 * x[0] - 0.3 * x[1] + noise, x, 1.0);
    if (i == 0) continue;
    square += residual * residual;
    lagged += residual * last;
    last = residual;
  }
  CHECK(square / k_values == doctest::Approx(1.0).epsilon(0.06));
  CHECK(std::abs(lagged / k_values) < 0.05);
  CHECK(regression.slopes()[0] == doctest::Approx(0.8).epsilon(0.1));
}
