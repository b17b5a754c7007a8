// SPDX-License-Identifier: Apache-2.0
// A table takes the argument close to a point whose value is known, a short series goes the rest of
// the way (P. T. P. Tang, table-driven implementations of exp and log, ACM TOMS 15 (1989) 144 and
// 16 (1990) 378, from memory): only +, -, * and /, which IEEE 754 rounds one way.
#include "core/portable_math.hpp"

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

namespace coolband {

namespace {

constexpr double k_nan = std::numeric_limits<double>::quiet_NaN();
constexpr double k_infinity = std::numeric_limits<double>::infinity();
// Added and taken away again, it rounds to a whole number.
constexpr double k_rounds = 0x1.8p52;
constexpr double k_least_x = -745.2;
constexpr double k_most_x = 709.79;
// Where the series serve without a table.
constexpr double k_near_zero = 0.0078125;

constexpr unsigned k_root_bits = 5;
constexpr unsigned k_roots_count = 1U << k_root_bits;
constexpr double k_roots_by_ln2 = 0x1.71547652b82fep+5;
// ln 2 / 32 in two parts, the first with so many zeros at its end that whole multiples are exact.
constexpr double k_root_high = 0x1.62e42f8p-6;
constexpr double k_root_low = 0x1.be8e7bcd5e4f2p-32;
// 2^(i / 32).
constexpr std::array<double, k_roots_count> k_roots = {0x1p+0,
                                                       0x1.059b0d3158574p+0,
                                                       0x1.0b5586cf9890fp+0,
                                                       0x1.11301d0125b51p+0,
                                                       0x1.172b83c7d517bp+0,
                                                       0x1.1d4873168b9aap+0,
                                                       0x1.2387a6e756238p+0,
                                                       0x1.29e9df51fdee1p+0,
                                                       0x1.306fe0a31b715p+0,
                                                       0x1.371a7373aa9cbp+0,
                                                       0x1.3dea64c123422p+0,
                                                       0x1.44e086061892dp+0,
                                                       0x1.4bfdad5362a27p+0,
                                                       0x1.5342b569d4f82p+0,
                                                       0x1.5ab07dd485429p+0,
                                                       0x1.6247eb03a5585p+0,
                                                       0x1.6a09e667f3bcdp+0,
                                                       0x1.71f75e8ec5f74p+0,
                                                       0x1.7a11473eb0187p+0,
                                                       0x1.82589994cce13p+0,
                                                       0x1.8ace5422aa0dbp+0,
                                                       0x1.93737b0cdc5e5p+0,
                                                       0x1.9c49182a3f09p+0,
                                                       0x1.a5503b23e255dp+0,
                                                       0x1.ae89f995ad3adp+0,
                                                       0x1.b7f76f2fb5e47p+0,
                                                       0x1.c199bdd85529cp+0,
                                                       0x1.cb720dcef9069p+0,
                                                       0x1.d5818dcfba487p+0,
                                                       0x1.dfc97337b9b5fp+0,
                                                       0x1.ea4afa2a490dap+0,
                                                       0x1.f50765b6e454p+0};

constexpr double k_ln2_high = k_root_high * k_roots_count;
constexpr double k_ln2_low = k_root_low * k_roots_count;
constexpr double k_half_root = 0x1.6a09e667f3bcdp-1; // √½
constexpr double k_parts = 64.0;
constexpr int k_first_part = 45;
// ln(i / 64) for i from 45, the nearest to 64 √½, to 91, that to 64 √2.
constexpr std::array<double, 47> k_logs = {
    -0x1.68ac83e9c6a14p-2, -0x1.522ae0738a3d8p-2, -0x1.3c25277333184p-2, -0x1.269621134db92p-2,
    -0x1.1178e8227e47cp-2, -0x1.f991c6cb3b379p-3, -0x1.d1037f2655e7bp-3, -0x1.a93ed3c8ad9e3p-3,
    -0x1.823c16551a3c2p-3, -0x1.5bf406b543db2p-3, -0x1.365fcb0159016p-3, -0x1.1178e8227e47cp-3,
    -0x1.da727638446a2p-4, -0x1.9335e5d594989p-4, -0x1.4d3115d207eacp-4, -0x1.08598b59e3a07p-4,
    -0x1.894aa149fb343p-5, -0x1.0415d89e74444p-5, -0x1.0205658935847p-6, 0.0,
    0x1.fc0a8b0fc03e4p-7,  0x1.f829b0e7833p-6,    0x1.77458f632dcfcp-5,  0x1.f0a30c01162a6p-5,
    0x1.341d7961bd1d1p-4,  0x1.6f0d28ae56b4cp-4,  0x1.a926d3a4ad563p-4,  0x1.e27076e2af2e6p-4,
    0x1.0d77e7cd08e59p-3,  0x1.29552f81ff523p-3,  0x1.44d2b6ccb7d1ep-3,  0x1.5ff3070a793d4p-3,
    0x1.7ab890210d909p-3,  0x1.9525a9cf456b4p-3,  0x1.af3c94e80bff3p-3,  0x1.c8ff7c79a9a22p-3,
    0x1.e27076e2af2e6p-3,  0x1.fb9186d5e3e2bp-3,  0x1.0a324e27390e3p-2,  0x1.1675cababa60ep-2,
    0x1.22941fbcf7966p-2,  0x1.2e8e2bae11d31p-2,  0x1.3a64c556945eap-2,  0x1.4618bc21c5ec2p-2,
    0x1.51aad872df82dp-2,  0x1.5d1bdbf5809cap-2,  0x1.686c81e9b14afp-2};

// Only the one of 1 has to be exact: there the logarithm is no more than the rest.
constexpr auto k_reciprocals = [] {
  std::array<double, k_logs.size()> reciprocals{};
  for (std::size_t i = 0; i < reciprocals.size(); ++i)
    reciprocals[i] = 1.0 / static_cast<double>(k_first_part + static_cast<int>(i));
  return reciprocals;
}();

// e^r - 1 - r for |r| <= 1/64, the first term left out is 3e-18 of 1.
double exp_tail(double r) {
  const double r2 = r * r;
  return r2 * ((1.0 / 2 + r * (1.0 / 6)) + r2 * ((1.0 / 24 + r * (1.0 / 120)) + r2 * (1.0 / 720)));
}

// ln(1 + r) - r for |r| <= 1/88, the first term left out is 5e-17 of r.
double log_tail(double r) {
  const double r2 = r * r;
  const double a = -1.0 / 2 + r * (1.0 / 3);
  const double b = -1.0 / 4 + r * (1.0 / 5);
  const double c = -1.0 / 6 + r * (1.0 / 7);
  return r2 * (a + r2 * (b + r2 * (c - r2 * (1.0 / 8))));
}

/// e^x as `root` 2^`twos` (1 + `rest`).
struct Power {
  double root;
  int twos;
  double rest;
};

Power power_of_e(double x) {
  const double steps = (x * k_roots_by_ln2 + k_rounds) - k_rounds;
  const double r = (x - steps * k_root_high) - steps * k_root_low;
  const int whole = static_cast<int>(steps);
  return {k_roots[static_cast<unsigned>(whole) % k_roots_count], whole >> k_root_bits,
          r + exp_tail(r)};
}

double times_power_of_two(double x, int exponent) {
  const auto shift = static_cast<std::uint64_t>(static_cast<std::int64_t>(exponent)) << 52U;
  return std::bit_cast<double>(std::bit_cast<std::uint64_t>(x) + shift);
}

bool far_from_ends(const Power& power) { return power.twos > -1000 && power.twos < 1000; }

} // namespace

double portable_exp(double x) {
  if (!(x <= k_most_x)) {
    if (std::isnan(x)) return x;
    return k_infinity;
  }
  if (x < k_least_x) return 0.0;
  const Power power = power_of_e(x);
  if (!far_from_ends(power)) return std::ldexp(power.root + power.root * power.rest, power.twos);
  const double near = times_power_of_two(power.root, power.twos);
  return near + near * power.rest;
}

double portable_expm1(double x) {
  if (std::abs(x) <= k_near_zero) return x + exp_tail(x);
  if (!(x <= k_most_x && x >= k_least_x)) return portable_exp(x) - 1.0;
  const Power power = power_of_e(x);
  if (!far_from_ends(power)) return portable_exp(x) - 1.0;
  const double near = times_power_of_two(power.root, power.twos);
  return (near - 1.0) + near * power.rest;
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
  const double twos = static_cast<double>(above) - (tiny ? 60.0 : 0.0);
  const double nearest = (part * k_parts + k_rounds) - k_rounds;
  const auto at = static_cast<std::size_t>(static_cast<int>(nearest) - k_first_part);
  // The difference is exact, and so near 1 nothing is lost.
  const double r = (part * k_parts - nearest) * k_reciprocals[at];
  return (twos * k_ln2_high + k_logs[at]) + (r + (log_tail(r) + twos * k_ln2_low));
}

double portable_log1p(double x) {
  if (std::abs(x) <= k_near_zero) return x + log_tail(x);
  const double above = 1.0 + x;
  if (!(above > 0.0) || std::isinf(above)) return portable_log(above);
  // What the sum lost is put back by the slope.
  return portable_log(above) + (x - (above - 1.0)) / above;
}

double portable_pow(double x, double y) {
  if (y == 0.0 || x == 1.0) return 1.0;
  if (x == 0.0) return y > 0.0 ? 0.0 : k_infinity;
  return portable_exp(y * portable_log(x));
}

} // namespace coolband
