// SPDX-License-Identifier: Apache-2.0
// Steps of the reading to another level, from one row to the next: a contact or a wire, no coolant.
#pragma once

#include "coolband/import/recording.hpp"
#include "coolband/segment/trip.hpp"

#include <cstddef>

namespace coolband {

struct Steps {
  bool seen = false; ///< rows follow each other closely enough to tell
  std::size_t count = 0;
};

/// Levels are medians over `k_step_level_s` before and after.
Steps find_steps(const Recording& recording, const Trip& trip);
inline constexpr double k_step_level_s = 20.0;

} // namespace coolband
