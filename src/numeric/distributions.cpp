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
double bracket_log_x(double start, double step, double p, const ChiSquared& chi_squared) {
  double u = start;
  while ((chi_squared.at(portable_exp(u)).cdf < p) == (step > 0.0) && std::abs(u) < 700.0)
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

// From a = 15 on by Stirling's series, since the plain logarithms would cancel.
ChiSquared::ChiSquared(double freedom)
    : a_(0.5 * freedom), gamma_(a_ < 15.0 ? std::tgamma(a_) : k_nan),
      root_(std::sqrt(a_ / (2.0 * std::numbers::pi))),
      remainder_(a_ < 15.0 ? k_nan : stirling_remainder(a_)) {}

// x^a e^-x / Γ(a).
double ChiSquared::front(double x) const {
  if (a_ < 15.0) return portable_exp(a_ * portable_log(x) - x) / gamma_;
  const double mu = (x - a_) / a_;
  return root_ * portable_exp(-a_ * (mu - portable_log1p(mu)) - remainder_);
}

ChiSquared::Place ChiSquared::at(double x) const {
  if (!(a_ > 0.0) || std::isnan(x)) return {k_nan, k_nan};
  if (x <= 0.0) return {0.0, 0.0};
  if (std::isinf(x)) return {1.0, 0.0};
  const double half = 0.5 * x;
  const double front = this->front(half);
  const bool lower = half < a_ + 1.0;
  // Saves the long sums far from the centre.
  if (front == 0.0) return {lower ? 0.0 : 1.0, 0.0};
  return {lower ? front * gamma_series(a_, half) : 1.0 - front * gamma_fraction(a_, half),
          front / x};
}

double chi_squared_cdf(double x, double freedom) { return ChiSquared(freedom).at(x).cdf; }

double chi_squared_density(double x, double freedom) { return ChiSquared(freedom).at(x).density; }

double chi_squared_quantile(double p, double freedom) {
  if (!(freedom > 0.0) || !(p >= 0.0 && p <= 1.0)) return k_nan;
  if (p == 0.0) return 0.0;
  if (p == 1.0) return k_infinity;
  const double step = portable_log(4.0);
  const ChiSquared chi_squared(freedom);
  const double low = bracket_log_x(portable_log(freedom), -step, p, chi_squared);
  const double high = bracket_log_x(low, step, p, chi_squared);
  // In logarithms both tails of the lower side are nearly straight, which the root finder likes.
  const auto distance = [&](double u) {
    const double cdf = chi_squared.at(portable_exp(u)).cdf;
    return p < 0.5 ? portable_log(cdf / p) : cdf - p;
  };
  return portable_exp(find_root(distance, low, high, 1e-15));
}

} // namespace coolband
