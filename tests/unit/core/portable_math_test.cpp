// SPDX-License-Identifier: Apache-2.0
// Against the C library, whichever routines it has picked, in units in the last place.
#include "core/portable_math.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

using namespace coolband;

namespace {

constexpr double k_infinity = std::numeric_limits<double>::infinity();

double units_apart(double a, double b) {
  if (a == b) return 0.0;
  const double size = std::max(std::abs(a), std::abs(b));
  return std::abs(a - b) / (std::nextafter(size, k_infinity) - size);
}

// The worst of many places, evenly spread and around 0.
template <class Ours, class Theirs>
double worst(Ours ours, Theirs theirs, double low, double high) {
  std::mt19937_64 random(20311);
  std::uniform_real_distribution<double> anywhere(low, high);
  double most = 0.0;
  for (int i = 0; i < 20'000; ++i) {
    const double x = anywhere(random);
    most = std::max(most, units_apart(ours(x), theirs(x)));
  }
  return most;
}

double c_exp(double x) { return std::exp(x); }
double c_log(double x) { return std::log(x); }
double c_expm1(double x) { return std::expm1(x); }
double c_log1p(double x) { return std::log1p(x); }

} // namespace

TEST_CASE("portable exponential: within two units of the library's") {
  CHECK(worst(portable_exp, c_exp, -0.4, 0.4) <= 1.0);
  CHECK(worst(portable_exp, c_exp, -30.0, 30.0) <= 2.0);
  CHECK(worst(portable_exp, c_exp, -707.0, 709.0) <= 2.0);
  CHECK(worst(portable_expm1, c_expm1, -1e-6, 1e-6) <= 1.0);
  CHECK(worst(portable_expm1, c_expm1, -0.3, 0.3) <= 40.0);
  CHECK(worst(portable_expm1, c_expm1, -40.0, 40.0) <= 40.0);
}

TEST_CASE("portable logarithm: within two units of the library's") {
  CHECK(worst(portable_log, c_log, 0.5, 2.0) <= 2.0);
  CHECK(worst(portable_log, c_log, 1e-300, 1e-290) <= 1.0);
  CHECK(worst(portable_log, c_log, 1.0, 1e6) <= 1.0);
  CHECK(worst(portable_log1p, c_log1p, -1e-6, 1e-6) <= 1.0);
  CHECK(worst(portable_log1p, c_log1p, -0.27, 0.27) <= 2.0);
  CHECK(worst(portable_log1p, c_log1p, 0.28, 1e4) <= 3.0);
}

TEST_CASE("portable power: as many units as its exponent is long") {
  const auto ours = [](double x) { return portable_pow(x, 0.78); };
  const auto theirs = [](double x) { return std::pow(x, 0.78); };
  CHECK(worst(ours, theirs, 1e-3, 50.0) <= 5.0);
  CHECK(portable_pow(2.0, 10.0) == doctest::Approx(1024.0).epsilon(1e-14));
  CHECK(portable_pow(0.0, 2.0) == 0.0);
  CHECK(portable_pow(0.0, -1.0) == k_infinity);
  CHECK(portable_pow(0.0, 0.0) == 1.0);
  CHECK(std::isnan(portable_pow(-1.0, 2.0)));
  CHECK(portable_pow(k_infinity, 0.5) == k_infinity);
}

TEST_CASE("portable functions: what is exact is exact, and the ends are those of the library") {
  CHECK(portable_exp(0.0) == 1.0);
  CHECK(portable_expm1(0.0) == 0.0);
  CHECK(portable_log(1.0) == 0.0);
  CHECK(portable_log1p(0.0) == 0.0);
  CHECK(portable_exp(-k_infinity) == 0.0);
  CHECK(portable_exp(k_infinity) == k_infinity);
  CHECK(portable_exp(710.0) == k_infinity);
  CHECK(portable_exp(-746.0) == 0.0);
  CHECK(portable_exp(-740.0) > 0.0);
  CHECK(portable_exp(709.7) < k_infinity);
  CHECK(portable_log(0.0) == -k_infinity);
  CHECK(portable_log(k_infinity) == k_infinity);
  CHECK(portable_log(5e-324) == doctest::Approx(std::log(5e-324)));
  CHECK(std::isnan(portable_log(-1.0)));
  CHECK(portable_expm1(-k_infinity) == -1.0);
  CHECK(portable_log1p(-1.0) == -k_infinity);
  for (double (*function)(double) : {portable_exp, portable_expm1, portable_log, portable_log1p})
    CHECK(std::isnan(function(std::nan(""))));
}
