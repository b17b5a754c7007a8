// SPDX-License-Identifier: Apache-2.0
// The root finder on easy, steep and missing roots.
#include "numeric/find_root.hpp"

#include <doctest/doctest.h>

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

TEST_CASE("a root at an end is returned, and without one the closer end") {
  CHECK(find_root([](double x) { return x; }, 0.0, 1.0, 1e-12) == 0.0);
  CHECK(find_root([](double x) { return x - 1.0; }, 0.0, 1.0, 1e-12) ==
        doctest::Approx(1.0).epsilon(1e-11));
  CHECK(find_root([](double x) { return x + 1.0; }, 0.0, 1.0, 1e-12) == 0.0);
}
