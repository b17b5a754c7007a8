// SPDX-License-Identifier: Apache-2.0
// Whether what runs too cold regulates there, or wanders.
#pragma once

#include "diagnose/deviations.hpp"

#include <optional>

namespace coolband {

/// Readings below the band that last for most of the warm running.
struct HeldLow {
  double seconds = 0.0;  ///< s of them
  double spread_k = 0.0; ///< K between the 5th and the 95th percentile of their deviations
};

/// Nothing where they last for less than a quarter of an hour, or less than three quarters of the
/// judged time.
std::optional<HeldLow> held_low(const Deviations& deviations);

/// A sound engine lies within this much of its level for nine tenths of the time, K, beside the
/// reading's own step (judgement).
inline constexpr double k_holds_within_k = 4.0;

} // namespace coolband
