// SPDX-License-Identifier: Apache-2.0
// Values of a double that stand for something else than a number.
#pragma once

#include <limits>

namespace coolband {

inline constexpr double k_nan = std::numeric_limits<double>::quiet_NaN();
inline constexpr double k_infinity = std::numeric_limits<double>::infinity();
inline constexpr double k_epsilon = std::numeric_limits<double>::epsilon();

} // namespace coolband
