// SPDX-License-Identifier: Apache-2.0
// The worth of a correlated series against the finite sum of Bayley & Hammersley.
#include "numeric/autocorrelation.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;

// n / (1 + 2 Σ (1 - k/n) ρ^k): Bayley & Hammersley, Suppl. J. Royal Stat. Soc. 8 (1946) 184-197
// (from memory); figures computed independently term by term.
TEST_CASE("a hundred correlated observations are worth as few as the exact sum says") {
  CHECK(std::abs(effective_count_ar1(100, 0.5) - 33.784) <= 0.5e-3);
  CHECK(std::abs(effective_count_ar1(100, 0.8) - 11.628) <= 0.5e-3);
  CHECK(std::abs(effective_count_ar1(100, 0.9) - 5.814) <= 0.5e-3);
  CHECK(std::abs(effective_count_ar1(100, 0.95) - 3.180) <= 0.5e-3);
  CHECK(std::abs(effective_count_ar1(100, 0.99) - 1.361) <= 0.5e-3);
}

TEST_CASE("for a long series the ratio tends to (1 - rho) / (1 + rho)") {
  const double n = 1e9;
  CHECK(std::abs(effective_count_ar1(n, 0.5) / n - 0.3333) <= 0.5e-4);
  CHECK(std::abs(effective_count_ar1(n, 0.9) / n - 0.05263) <= 0.5e-5);
  CHECK(std::abs(effective_count_ar1(n, 0.99) / n - 0.00503) <= 0.5e-5);
}

TEST_CASE("half an hour at 1 Hz with a correlation of 0.99 is worth nine to ten observations") {
  const double limit = 1800.0 * (1.0 - 0.99) / (1.0 + 0.99); // 9.05, from below for a finite series
  CHECK(effective_count_ar1(1800, 0.99) > limit);
  CHECK(effective_count_ar1(1800, 0.99) < 10.0);
}
