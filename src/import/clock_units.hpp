// SPDX-License-Identifier: Apache-2.0
// Spans of a clock.
#pragma once

namespace coolband {

inline constexpr double k_hour_s = 3600.0;
inline constexpr double k_day_s = 86400.0;
/// A smaller step back is a row out of order; a larger one is a clock that was set anew.
inline constexpr double k_out_of_order_s = 60.0;

} // namespace coolband
