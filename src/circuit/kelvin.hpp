// SPDX-License-Identifier: Apache-2.0
// Temperatures on the thermodynamic scale.
#pragma once

namespace coolband {

/// 0 °C in K, exactly (SI brochure, from memory).
inline constexpr double k_celsius_zero_k = 273.15;

} // namespace coolband
