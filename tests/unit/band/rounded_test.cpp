// SPDX-License-Identifier: Apache-2.0
// Numbers as a band file writes them, at the ends of what a double holds too.
#include "band/rounded.hpp"

#include <doctest/doctest.h>

#include <limits>

namespace coolband {

TEST_SUITE_BEGIN("band/rounded");

TEST_CASE("a number keeps so many digits, whatever its size") {
  CHECK(rounded_to(88.123456, 4) == 88.12);
  CHECK(rounded_to(-0.000123456, 4) == -0.0001235);
  CHECK(rounded_to(123456.0, 4) == 123500.0);
  CHECK(rounded_to(0.0, 4) == 0.0);
}

TEST_CASE("the smallest and the largest numbers stay numbers") {
  constexpr double k_smallest = std::numeric_limits<double>::denorm_min();
  constexpr double k_infinity = std::numeric_limits<double>::infinity();
  CHECK(rounded_to(k_smallest, 4) == k_smallest);
  CHECK(rounded_to(1.23456e-305, 4) == doctest::Approx(1.23456e-305));
  CHECK(rounded_to(1.23456e308, 4) == doctest::Approx(1.235e308));
  CHECK(rounded_to(k_infinity, 4) == k_infinity);
}

TEST_SUITE_END();

} // namespace coolband
