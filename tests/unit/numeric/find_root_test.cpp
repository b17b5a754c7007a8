// SPDX-License-Identifier: Apache-2.0
// The root finder on easy, steep and missing roots.
#include "numeric/find_root.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace coolband;

TEST_CASE("smooth roots are found to the last digits") {
  const auto f = [](double x) { return x * x - 2.0; };
  CHECK(find_root(f, 0.0, 2.0, 0.0) == doctest::Approx(std::numbers::sqrt2).epsilon(1e-15));
  CHECK(find_root(f, 2.0, 0.0, 0.0) == doctest::Approx(std::numbers::sqrt2).epsilon(1e-15));
}

TEST_CASE("a step and a flat root take few calls") {
  int calls = 0;
  const auto step = [&](double x) { return ++calls, x < 0.3 ? -1.0 : 1e6; };
  CHECK(find_root(step, 0.0, 1.0, 1e-9) == doctest::Approx(0.3).epsilon(1e-8));
  CHECK(calls < 80);
  calls = 0;
  const auto flat = [&](double x) { return ++calls, (x - 0.7) * (x - 0.7) * (x - 0.7); };
  CHECK(find_root(flat, 0.0, 1.0, 1e-9) == doctest::Approx(0.7).epsilon(1e-8));
  CHECK(calls < 120);
}

TEST_CASE("no step leaves the bracket, and each is some way from its ends") {
  // A function that is steep at one end and flat at the other draws inverse quadratic steps
  // outwards.
  for (const double power : {0.1, 0.5, 3.0, 9.0, 25.0}) {
    for (const double root : {0.001, 0.3, 0.999}) {
      double lowest = 1.0;
      double highest = 0.0;
      int calls = 0;
      const auto f = [&](double x) {
        if (++calls > 2) lowest = std::min(lowest, x);
        if (calls > 2) highest = std::max(highest, x);
        return std::pow(std::abs(x), power) - std::pow(root, power);
      };
      CHECK(find_root(f, 0.0, 1.0, 1e-6) == doctest::Approx(root).epsilon(0.01));
      CHECK(lowest > 0.0);
      CHECK(highest < 1.0);
      CHECK(calls < 60);
    }
  }
}

TEST_CASE("a root at an end is returned, and without one the closer end") {
  CHECK(find_root([](double x) { return x; }, 0.0, 1.0, 1e-12) == 0.0);
  CHECK(find_root([](double x) { return x - 1.0; }, 0.0, 1.0, 1e-12) ==
        doctest::Approx(1.0).epsilon(1e-11));
  CHECK(find_root([](double x) { return x + 1.0; }, 0.0, 1.0, 1e-12) == 0.0);
}
