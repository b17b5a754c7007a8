// SPDX-License-Identifier: Apache-2.0
// Student's t for readings less predictions, up to constants: far-off readings count, but do not
// rule. `z`: over the scale.
#pragma once

#include "core/portable_math.hpp"

#include <cmath>

namespace coolband {

/// Degrees of freedom (judgement).
inline constexpr double k_t_freedom = 4.0;

inline double t_log_likelihood(double z) {
  return -0.5 * (k_t_freedom + 1.0) * portable_log1p(z * z / k_t_freedom);
}

/// Weight of a reading in least squares that amount to the same; 1 + 1/`k_t_freedom` at 0.
inline double t_weight(double z) { return (k_t_freedom + 1.0) / (k_t_freedom + z * z); }

} // namespace coolband
