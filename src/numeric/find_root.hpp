// SPDX-License-Identifier: Apache-2.0
// The root of a continuous function between two points of opposite sign.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace coolband {

/// Chandrupatla's method (Advances in Engineering Software 28 (1997) 145-149): inverse quadratic
/// steps where they are safe, halving elsewhere; never leaves [a, b]. Stops when the bracket is
/// narrower than `tolerance` plus the rounding of x. Without a change of sign the end that is
/// closer to zero comes back, so a bracket missed by rounding does no harm.
template <class Function>
double find_root(Function&& f, double a, double b, double tolerance) {
  double fa = f(a);
  double fb = f(b);
  if ((fa < 0.0) == (fb < 0.0)) return std::abs(fa) < std::abs(fb) ? a : b;
  double t = 0.5;
  for (int i = 0; i < 200; ++i) {
    const double x = a + t * (b - a);
    const double fx = f(x);
    double c = a;
    double fc = fa;
    if ((fx < 0.0) != (fa < 0.0)) {
      c = std::exchange(b, a);
      fc = std::exchange(fb, fa);
    }
    a = x;
    fa = fx;
    const double best = std::abs(fa) < std::abs(fb) ? a : b;
    const double slack = tolerance + 2.0 * std::numeric_limits<double>::epsilon() * std::abs(best);
    const double margin = slack / std::abs(b - a);
    if (fa == 0.0) return a;
    if (!(margin <= 0.5)) return best;
    const double xi = (a - b) / (c - b);
    const double phi = (fa - fb) / (fc - fb);
    const bool quadratic = phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi;
    t = quadratic
            ? fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
            : 0.5;
    t = std::clamp(t, margin, 1.0 - margin);
  }
  return std::abs(fa) < std::abs(fb) ? a : b;
}

} // namespace coolband
