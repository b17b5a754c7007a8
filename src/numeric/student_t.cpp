// SPDX-License-Identifier: Apache-2.0
// The beta distribution, Student's t and their inverses.
#include "numeric/distributions.hpp"

#include "core/portable_math.hpp"
#include "numeric/find_root.hpp"
#include "numeric/special_values.hpp"
#include "numeric/stirling.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

namespace coolband {

namespace {

// x and 1 - x, both with all their digits.
struct Share {
  double x;
  double rest;
};

// ln of x (a + b) / a, with its digits where it is near 0.
double log_ratio(const Share& at, double a, double b) {
  const double excess = (at.x * b - at.rest * a) / a;
  return std::abs(excess) < 0.5 ? portable_log1p(excess)
                                : portable_log(at.x) + portable_log1p(b / a);
}

// x^a (1-x)^b / B(a, b).
double beta_front(const Share& at, double a, double b) {
  const double exponent = a * log_ratio(at, a, b) + b * log_ratio({at.rest, at.x}, b, a) +
                          stirling_remainder(a + b) - stirling_remainder(a) - stirling_remainder(b);
  return std::sqrt(a / (2.0 * std::numbers::pi) * (b / (a + b))) * portable_exp(exponent);
}

// I_x(a, b) / front for x <= a/(a + b): the continued fraction of DiDonato & Morris, ACM
// Transactions on Mathematical Software 18 (1992) 360-373 (from memory), which subtracts nothing
// where the usual one cancels for a large a. Takes about the root of the larger parameter steps.
double beta_fraction(const Share& at, double a, double b) {
  const double c = 1.0 + a * at.rest - b * at.x;
  const double c1 = 1.0 + 1.0 / a;
  double above_before = 0.0;
  double below_before = 1.0;
  double above = 1.0;
  double below = c / c1;
  double value = c1 / c;
  const double limit = 1000.0 + 100.0 * std::sqrt(std::max(a, b));
  for (double n = 1.0; n < limit; n += 1.0) {
    const double w = n * (b - n) * at.x;
    const double s = a + 2.0 * n - 1.0;
    const double p = 1.0 + (n - 1.0) / a;
    const double alpha = p * (p + b / a) * (a / s) * (a / s) * w * at.x;
    const double e = (1.0 + n / a) / (c1 + 2.0 * n / a);
    const double beta = n + w / s + e * (c + n * (1.0 + at.rest));
    above_before = std::exchange(above, alpha * above_before + beta * above);
    below_before = std::exchange(below, alpha * below_before + beta * below);
    const double before = std::exchange(value, above / below);
    if (std::abs(value - before) <= 2.0 * k_epsilon * value) break;
    above_before /= below;
    below_before /= below;
    above = value;
    below = 1.0;
  }
  return value;
}

double beta_at(const Share& at, double a, double b) {
  if (at.x <= 0.0) return 0.0;
  if (at.rest <= 0.0) return 1.0;
  const double front = beta_front(at, a, b);
  if (at.x <= (a + 1.0) / (a + b + 2.0))
    return front == 0.0 ? 0.0 : front * beta_fraction(at, a, b);
  return front == 0.0 ? 1.0 : 1.0 - front * beta_fraction({at.rest, at.x}, b, a);
}

// P(T <= -size).
double lower_tail(double size, double freedom) {
  const double ratio = size / std::sqrt(freedom);
  const double square = ratio * ratio;
  const Share at{1.0 / (1.0 + square), std::isinf(square) ? 1.0 : square / (1.0 + square)};
  return 0.5 * beta_at(at, 0.5 * freedom, 0.5);
}

Share from_logit(double u) {
  const double odds = portable_exp(-std::abs(u));
  const double small = odds / (1.0 + odds);
  const double large = 1.0 / (1.0 + odds);
  return u < 0.0 ? Share{small, large} : Share{large, small};
}

} // namespace

double beta_cdf(double x, double a, double b) {
  if (!(a > 0.0 && b > 0.0) || std::isinf(a) || std::isinf(b) || std::isnan(x)) return k_nan;
  return beta_at({x, 1.0 - x}, a, b);
}

double beta_quantile(double p, double a, double b) {
  if (!(a > 0.0 && b > 0.0) || std::isinf(a) || std::isinf(b)) return k_nan;
  if (!(p >= 0.0 && p <= 1.0)) return k_nan;
  if (p == 0.0 || p == 1.0) return p;
  // In log-odds the function is spread out wherever its mass lies.
  const auto excess = [&](double u) { return beta_at(from_logit(u), a, b) - p; };
  return from_logit(find_root(excess, -700.0, 700.0, 1e-15)).x;
}

double student_t_cdf(double t, double freedom) {
  if (!(freedom > 0.0) || std::isnan(t)) return k_nan;
  if (std::isinf(freedom)) return normal_cdf(t);
  return t <= 0.0 ? lower_tail(-t, freedom) : 1.0 - lower_tail(t, freedom);
}

double student_t_quantile(double p, double freedom) {
  if (!(freedom > 0.0) || !(p >= 0.0 && p <= 1.0)) return k_nan;
  if (std::isinf(freedom)) return normal_quantile(p);
  if (p == 0.0) return -k_infinity;
  if (p == 1.0) return k_infinity;
  if (p > 0.5) return -student_t_quantile(1.0 - p, freedom);
  // The normal quantile is the smaller one; from there outwards, in logarithms of the tail.
  const auto distance = [&](double size) { return portable_log(lower_tail(size, freedom) / p); };
  const double low = -normal_quantile(p);
  double high = low + 1.0;
  while (distance(high) > 0.0 && high < 1e300) high *= 4.0;
  if (high < 10.0) return -find_root(distance, low, high, 0.0);
  const auto in_logs = [&](double u) { return distance(portable_exp(u)); };
  return -portable_exp(find_root(in_logs, portable_log(0.2 * high), portable_log(high), 0.0));
}

} // namespace coolband
