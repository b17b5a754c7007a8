// SPDX-License-Identifier: Apache-2.0
// Stretches in which a trip left its band.
#pragma once

#include "diagnose/deviations.hpp"

#include <vector>

namespace coolband {

/// The least length of an episode, s: one independent look of this vehicle's regulation, within the
/// bounds of the options. A deviation twice the limit needs half of it.
double least_episode_s(const NormalBand& band, const JudgeOptions& options);

/// Episodes below and above the band, in time order, causes and explanations not yet set. An
/// episode begins where the deviation passes the limit and ends where it falls back within
/// `leave_share` of it; nothing is lost at the edges of the trip.
std::vector<Episode> find_episodes(const Trip& trip, const NormalBand& band,
                                   const Deviations& deviations, const JudgeOptions& options);

bool anything_unexplained(const std::vector<Episode>& episodes);
bool anything_unexplained(const std::vector<Episode>& episodes, Direction direction);

/// One erratic episode for each cluster of sensor events.
std::vector<Episode> erratic_episodes(const Recording& recording, const Trip& trip,
                                      const NormalBand& band);

} // namespace coolband
