// SPDX-License-Identifier: Apache-2.0
// Series on a short interval, after the powers of 2 are split off (Cody & Waite, Software Manual
// for the Elementary Functions, 1980, from memory): only +, -, * and /, which IEEE 754 rounds one
// way.
#include "core/portable_math.hpp"

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

namespace coolband {

namespace {

constexpr double k_nan = std::numeric_limits<double>::quiet_NaN();
constexpr double k_infinity = std::numeric_limits<double>::infinity();
// ln 2 in two parts, the first with so many zeros at its end that whole multiples of it are exact.
constexpr double k_ln2_high = 0x1.62e42feep-1;
constexpr double k_ln2_low = 0x1.a39ef35793c76p-33;
constexpr double k_one_by_ln2 = 0x1.71547652b82fep+0;
constexpr double k_half_root = 0x1.6a09e667f3bcdp-1; // √½
// Added and taken away again, it rounds to a whole number.
constexpr double k_rounds = 0x1.8p52;
constexpr double k_least_x = -745.2;
constexpr double k_most_x = 709.79;
// Where the series serves without splitting.
constexpr double k_near_zero = 0.34;

// e^r - 1 - r for |r| <= ln 2 / 2, the first term left out is 4e-18 of 1. In pairs, which are
// independent of each other.
double exp_tail(double r) {
  const double r2 = r * r;
  const double r4 = r2 * r2;
  const double a = (1.0 / 2 + r * (1.0 / 6)) + r2 * (1.0 / 24 + r * (1.0 / 120));
  const double b = (1.0 / 720 + r * (1.0 / 5040)) + r2 * (1.0 / 40320 + r * (1.0 / 362880));
  const double c =
      (1.0 / 3628800 + r * (1.0 / 39916800)) + r2 * (1.0 / 479001600 + r * (1.0 / 6227020800));
  return r2 * (a + r4 * (b + r4 * c));
}

double power_of_two(int exponent) {
  return std::bit_cast<double>(static_cast<std::uint64_t>(exponent + 1023) << 52U);
}

// ln(1 + f) for 1 + f from √½ to √2: with s = f / (2 + f), ln(1 + f) = 2 artanh s, and 2 s = f - s
// f.
double log_near_one(double f) {
  const double s = f / (2.0 + f);
  const double z = s * s;
  const double z2 = z * z;
  const double z4 = z2 * z2;
  const double a = (2.0 / 3 + z * (2.0 / 5)) + z2 * (2.0 / 7 + z * (2.0 / 9));
  const double b = (2.0 / 11 + z * (2.0 / 13)) + z2 * (2.0 / 15 + z * (2.0 / 17));
  const double c = (2.0 / 19 + z * (2.0 / 21)) + z2 * (2.0 / 23);
  return f - s * (f - z * (a + z4 * (b + z4 * c)));
}

} // namespace

double portable_exp(double x) {
  if (std::isnan(x)) return x;
  if (x > k_most_x) return k_infinity;
  if (x < k_least_x) return 0.0;
  const double twos = (x * k_one_by_ln2 + k_rounds) - k_rounds;
  const double r = (x - twos * k_ln2_high) - twos * k_ln2_low;
  const double rest = 1.0 + (r + exp_tail(r));
  const int exponent = static_cast<int>(twos);
  if (exponent > -1000 && exponent < 1000) return rest * power_of_two(exponent);
  return std::ldexp(rest, exponent);
}

double portable_expm1(double x) {
  if (std::abs(x) <= k_near_zero) return x + exp_tail(x);
  return portable_exp(x) - 1.0;
}

double portable_log(double x) {
  if (!(x > 0.0)) return x == 0.0 ? -k_infinity : std::isnan(x) ? x : k_nan;
  if (std::isinf(x)) return x;
  const bool tiny = x < std::numeric_limits<double>::min();
  const auto bits = std::bit_cast<std::uint64_t>(tiny ? x * 0x1p60 : x);
  // The power of 2 that leaves a part from √½ to √2 comes off the bits.
  const auto above =
      static_cast<std::int64_t>(bits - std::bit_cast<std::uint64_t>(k_half_root)) >> 52;
  const double part = std::bit_cast<double>(bits - (static_cast<std::uint64_t>(above) << 52U));
  const double whole = static_cast<double>(above) - (tiny ? 60.0 : 0.0);
  return whole * k_ln2_high + (log_near_one(part - 1.0) + whole * k_ln2_low);
}

double portable_log1p(double x) {
  if (std::abs(x) <= k_near_zero * 0.8) return log_near_one(x);
  return portable_log(1.0 + x);
}

double portable_pow(double x, double y) {
  if (y == 0.0 || x == 1.0) return 1.0;
  if (x == 0.0) return y > 0.0 ? 0.0 : k_infinity;
  return portable_exp(y * portable_log(x));
}

} // namespace coolband
