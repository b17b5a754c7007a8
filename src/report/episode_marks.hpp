// SPDX-License-Identifier: Apache-2.0
// Episodes in a picture: which of them get a number, where the numbers stand, and what they say.
#pragma once

#include "coolband/diagnose/judgement.hpp"
#include "report/svg_canvas.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace coolband {

/// So many have room side by side.
inline constexpr std::size_t k_most_marks = 20;
inline constexpr double k_mark_radius = 9.0; ///< px

struct EpisodeMark {
  const Episode* episode = nullptr;
  std::size_t number = 0; ///< in time order from 1, as in the report's table
  double middle_px = 0.0; ///< of the episode
  double mark_px = 0.0;   ///< of its number, moved aside where it would touch another
};

/// The unexplained ones first, then the largest deviations; in time order. No two marks touch, and
/// none leaves the axis.
std::vector<EpisodeMark> episode_marks(const std::vector<Episode>& episodes, const Scale& x);

/// "below, 12:30 to 15:20, -9.8 K: thermostat stuck open"
std::string episode_words(const Episode& episode);

} // namespace coolband
