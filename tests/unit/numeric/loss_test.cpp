// SPDX-License-Identifier: Apache-2.0
// The losses against finite differences and against their promised efficiency.
#include "numeric/loss.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <numbers>

using namespace coolband;

namespace {

double psi(const LossShape& shape, double u) { return u * shape.weight(u); }

// E[ψ']² / E[ψ²] at the standard normal, by the trapezoid rule (the tails are below 1e-20).
double efficiency(const LossShape& shape) {
  double slope = 0.0;
  double square = 0.0;
  const double h = 1e-4;
  for (double u = -10.0; u <= 10.0; u += h) {
    const double density = h * std::exp(-0.5 * u * u) / std::sqrt(2.0 * std::numbers::pi);
    slope += density * shape.psi_slope(u);
    square += density * psi(shape, u) * psi(shape, u);
  }
  return slope * slope / square;
}

} // namespace

TEST_CASE("the slope of psi is its derivative on both sides of the threshold") {
  for (const Loss loss : {Loss::squares, Loss::huber, Loss::bisquare}) {
    const LossShape shape = loss_shape(loss, 2.0);
    for (double u : {-5.0, -2.1, -1.9, -0.7, 0.0, 0.3, 1.5, 1.95, 2.05, 9.0}) {
      CAPTURE(u);
      const double h = 1e-6;
      const double difference = (psi(shape, u + h) - psi(shape, u - h)) / (2.0 * h);
      CHECK(shape.psi_slope(u) == doctest::Approx(difference).epsilon(1e-6));
    }
  }
}

TEST_CASE("psi has no step at the threshold and the weight stays between 0 and 1") {
  for (const Loss loss : {Loss::huber, Loss::bisquare}) {
    const LossShape shape = loss_shape(loss, 0.0);
    CHECK(psi(shape, shape.tuning * (1.0 - 1e-9)) ==
          doctest::Approx(psi(shape, shape.tuning * (1.0 + 1e-9))).epsilon(1e-8));
    for (double u = -20.0; u <= 20.0; u += 0.1) {
      CHECK(shape.weight(u) >= 0.0);
      CHECK(shape.weight(u) <= 1.0);
    }
  }
}

// Huber (1964) and Holland & Welsch (1977), both from memory: 95 % efficiency at the normal.
TEST_CASE("the default constants are 95 % efficient") {
  CHECK(efficiency(loss_shape(Loss::huber, 0.0)) == doctest::Approx(0.95).epsilon(1e-4));
  CHECK(efficiency(loss_shape(Loss::bisquare, 0.0)) == doctest::Approx(0.95).epsilon(1e-4));
  CHECK(efficiency(loss_shape(Loss::bisquare, 3.4437)) == doctest::Approx(0.85).epsilon(1e-4));
}
