// SPDX-License-Identifier: Apache-2.0
// The normal and the chi-squared distribution and their inverses.
#include "numeric/distributions.hpp"

#include "core/portable_math.hpp"
#include "numeric/find_root.hpp"
#include "numeric/special_values.hpp"
#include "numeric/stirling.hpp"

#include <cmath>
#include <limits>
#include <numbers>

namespace coolband {

namespace {

// Abramowitz & Stegun 26.2.23 (error < 4.5e-4) for 0 < p <= 1/2, then Halley's steps, each of
// which cubes the error. p stays in the lower tail, where erfc keeps its relative precision.
double lower_quantile(double p) {
  const double t = std::sqrt(-2.0 * portable_log(p));
  double z = (2.515517 + t * (0.802853 + t * 0.010328)) /
                 (1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308))) -
             t;
  for (int i = 0; i < 3; ++i) {
    const double density = normal_density(z);
    if (density < std::numeric_limits<double>::min()) break;
    const double step = (normal_cdf(z) - p) / density;
    z -= step / (1.0 + 0.5 * z * step);
  }
  return z;
}

// x^a e^-x / Γ(a). From a = 15 on by Stirling's series, since the plain logarithms would cancel.
double gamma_front(double a, double x) {
  if (a < 15.0) return portable_exp(a * portable_log(x) - x) / std::tgamma(a);
  const double mu = (x - a) / a;
  return std::sqrt(a / (2.0 * std::numbers::pi)) *
         portable_exp(-a * (mu - portable_log1p(mu)) - stirling_remainder(a));
}

// P(a, x) / front for x < a + 1.
double gamma_series(double a, double x) {
  double term = 1.0 / a;
  double sum = term;
  for (double k = a + 1.0; term > sum * k_epsilon; k += 1.0) {
    term *= x / k;
    sum += term;
  }
  return sum;
}

// Q(a, x) / front for x >= a + 1: Legendre's continued fraction by Lentz's method. The number of
// steps grows like the root of a; the limit is far above it.
double gamma_fraction(double a, double x) {
  double b = x + 1.0 - a;
  double c = k_infinity;
  double d = 1.0 / b;
  double h = d;
  const double limit = 1000.0 + 100.0 * std::sqrt(a);
  for (double i = 1.0; i < limit; i += 1.0) {
    const double an = i * (a - i);
    b += 2.0;
    d = 1.0 / (b + an * d);
    c = b + an / c;
    const double factor = c * d;
    h *= factor;
    if (std::abs(factor - 1.0) <= 4.0 * k_epsilon) break;
  }
  return h;
}

// A point with a smaller (or a larger) distribution function, found by steps of 4 in x.
double bracket_log_x(double start, double step, double p, double freedom) {
  double u = start;
  while ((chi_squared_cdf(portable_exp(u), freedom) < p) == (step > 0.0) && std::abs(u) < 700.0)
    u += step;
  return u;
}

} // namespace

double normal_density(double z) {
  return portable_exp(-0.5 * z * z) / std::sqrt(2.0 * std::numbers::pi);
}

double normal_cdf(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

double normal_quantile(double p) {
  if (!(p >= 0.0 && p <= 1.0)) return k_nan;
  if (p == 0.0) return -k_infinity;
  if (p == 1.0) return k_infinity;
  return p <= 0.5 ? lower_quantile(p) : -lower_quantile(1.0 - p);
}

double chi_squared_cdf(double x, double freedom) {
  if (!(freedom > 0.0) || std::isnan(x)) return k_nan;
  if (x <= 0.0) return 0.0;
  if (std::isinf(x)) return 1.0;
  const double a = 0.5 * freedom;
  const double half = 0.5 * x;
  const double front = gamma_front(a, half);
  const bool lower = half < a + 1.0;
  if (front == 0.0) return lower ? 0.0 : 1.0; // saves the long sums far from the centre
  return lower ? front * gamma_series(a, half) : 1.0 - front * gamma_fraction(a, half);
}

double chi_squared_density(double x, double freedom) {
  if (!(freedom > 0.0) || std::isnan(x)) return k_nan;
  if (x <= 0.0 || std::isinf(x)) return 0.0;
  return gamma_front(0.5 * freedom, 0.5 * x) / x;
}

double chi_squared_quantile(double p, double freedom) {
  if (!(freedom > 0.0) || !(p >= 0.0 && p <= 1.0)) return k_nan;
  if (p == 0.0) return 0.0;
  if (p == 1.0) return k_infinity;
  const double step = portable_log(4.0);
  const double low = bracket_log_x(portable_log(freedom), -step, p, freedom);
  const double high = bracket_log_x(low, step, p, freedom);
  // In logarithms both tails of the lower side are nearly straight, which the root finder likes.
  const auto distance = [&](double u) {
    const double cdf = chi_squared_cdf(portable_exp(u), freedom);
    return p < 0.5 ? portable_log(cdf / p) : cdf - p;
  };
  return portable_exp(find_root(distance, low, high, 1e-15));
}

} // namespace coolband
