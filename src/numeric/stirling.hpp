// SPDX-License-Identifier: Apache-2.0
// What Stirling's formula leaves of the logarithm of the gamma function.
#pragma once

#include "core/portable_math.hpp"

#include <cmath>
#include <numbers>

namespace coolband {

/// ln Γ(a) - [(a - 1/2) ln a - a + ln(2π)/2] for a > 0. Densities built from it never subtract
/// large logarithms.
inline double stirling_remainder(double a) {
  if (a >= 15.0) {
    const double square = 1.0 / (a * a);
    return (1.0 / 12.0 - square * (1.0 / 360.0 - square * (1.0 / 1260.0 - square / 1680.0))) / a;
  }
  return portable_log(std::tgamma(a)) -
         ((a - 0.5) * portable_log(a) - a + 0.5 * portable_log(2.0 * std::numbers::pi));
}

} // namespace coolband
