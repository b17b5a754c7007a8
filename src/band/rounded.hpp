// SPDX-License-Identifier: Apache-2.0
// Numbers as a band file writes them.
#pragma once

#include <cmath>

namespace coolband {

/// `value` to so many significant digits; 0, what is not finite and what has no digits to spare
/// (the smallest that a double holds) stay.
inline double rounded_to(double value, int digits) {
  if (value == 0.0 || !std::isfinite(value)) return value;
  const double step = std::pow(10.0, std::ceil(std::log10(std::abs(value))) - digits);
  if (!std::isfinite(1.0 / step)) return value;
  // By division where the step is below 1, since 1e-5 is not exact and 1e5 is.
  return step < 1.0 ? std::round(value * std::round(1.0 / step)) / std::round(1.0 / step)
                    : std::round(value / step) * step;
}

} // namespace coolband
