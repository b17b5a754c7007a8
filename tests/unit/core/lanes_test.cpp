// SPDX-License-Identifier: Apache-2.0
// Beside others a number has the bits that it has alone.
#include "core/lanes.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

using namespace coolband;

namespace {

const std::vector<double>& numbers() {
  using Limits = std::numeric_limits<double>;
  static const std::vector<double> numbers{0.0,
                                           -0.0,
                                           1.0,
                                           -1.0,
                                           1e-3,
                                           87.3,
                                           -40.0,
                                           1e300,
                                           1e-300,
                                           Limits::denorm_min(),
                                           Limits::infinity(),
                                           -Limits::infinity(),
                                           Limits::quiet_NaN()};
  return numbers;
}

bool same(double a, double b) {
  return (std::isnan(a) && std::isnan(b)) ||
         std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
}

/// `x` in one lane, other numbers in the others.
Lanes beside_others(double x, std::size_t lane) {
  Lanes lanes;
  for (std::size_t k = 0; k < Lanes::k_count; ++k) lanes.set(k, 3.0 + static_cast<double>(k));
  lanes.set(lane, x);
  return lanes;
}

/// The operation on lanes gives, in each lane, what it gives for the numbers themselves.
template <class Operation>
void check_in_every_lane(Operation operation) {
  for (std::size_t lane = 0; lane < Lanes::k_count; ++lane) {
    for (const double a : numbers()) {
      for (const double b : numbers()) {
        CAPTURE(lane);
        CAPTURE(a);
        CAPTURE(b);
        const Lanes result = operation(beside_others(a, lane), beside_others(b, lane));
        CHECK(same(result[lane], operation(a, b)));
      }
    }
  }
}

} // namespace

TEST_CASE("arithmetic side by side") {
  check_in_every_lane([](const auto& a, const auto& b) { return a + b; });
  check_in_every_lane([](const auto& a, const auto& b) { return a - b; });
  check_in_every_lane([](const auto& a, const auto& b) { return a * b; });
  check_in_every_lane([](const auto& a, const auto& b) { return a / b; });
  check_in_every_lane([](const auto& a, const auto& b) { return root(a * a + b * b); });
  check_in_every_lane([](const auto& a, const auto& b) { return magnitude(a) - b; });
}

TEST_CASE("comparisons side by side") {
  check_in_every_lane([](const auto& a, const auto& b) { return select(a < b, a, b); });
  check_in_every_lane([](const auto& a, const auto& b) { return select(a >= b, a, b); });
  check_in_every_lane([](const auto& a, const auto& b) { return select(a != b, a, b); });
  CHECK_FALSE(any(Lanes(1.0) < Lanes(1.0)));
  for (std::size_t lane = 0; lane < Lanes::k_count; ++lane) {
    CHECK(any(beside_others(1.0, lane) < Lanes(2.0)));
    CHECK(any(beside_others(9.0, lane) != beside_others(8.0, lane)));
  }
}

TEST_CASE("the lesser, the greater and what lies between are those of the standard library") {
  for (const double a : numbers()) {
    for (const double b : numbers()) {
      CHECK(same(least(a, b), std::min(a, b)));
      CHECK(same(most(a, b), std::max(a, b)));
    }
    CHECK(same(between(a, -1.0, 2.0), std::clamp(a, -1.0, 2.0)));
  }
  check_in_every_lane([](const auto& a, const auto& b) { return least(a, b); });
  check_in_every_lane([](const auto& a, const auto& b) { return most(a, b); });
}
