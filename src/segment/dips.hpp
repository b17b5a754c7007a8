// SPDX-License-Identifier: Apache-2.0
// Drops of the reading that coolant cannot make but gas at the sensor can.
#pragma once

#include "coolband/segment/trip.hpp"

#include <cstddef>
#include <vector>

namespace coolband {

struct Dips {
  bool seen = false;        ///< blocks follow each other closely enough to tell
  double warm_s = 0.0;      ///< s looked at besides `shut_s`
  std::size_t warm = 0;     ///< once regulated, where a slug of cold coolant may come by
  double shut_s = 0.0;      ///< s looked at with the thermostat shut
  std::size_t shut = 0;     ///< well below the thermostat's opening, where nothing cold can come
  std::vector<bool> inside; ///< of a dip, one a block
};

/// Certainly shut so far below its start of opening, K: hysteresis and the tolerance of the start
/// of opening (TM 5-3825-229-14&P).
inline constexpr double k_shut_below_opening_k = 8.0;
/// The same below the level at which it regulates, some 4 K above that start (common practice, no
/// source).
inline constexpr double k_shut_below_level_k = k_shut_below_opening_k + 4.0;

/// A dip falls faster than an engine's heat capacity allows and is back at its rim within two
/// minutes. `shut_below_c`: the thermostat is shut there.
Dips find_dips(const Trip& trip, double shut_below_c);

} // namespace coolband
