// SPDX-License-Identifier: Apache-2.0
// A part of a whole.
#pragma once

#include <algorithm>

namespace coolband {

inline double share(double value) { return std::clamp(value, 0.0, 1.0); }

} // namespace coolband
