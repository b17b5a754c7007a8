// SPDX-License-Identifier: Apache-2.0
// A control chart over drives: has the level moved?
#pragma once

#include "band/levels.hpp"
#include "coolband/band/normal_band.hpp"

#include <optional>
#include <vector>

namespace coolband {

/// Whether the start of a drive is a date, as text: with only a time of day it is none.
bool has_date(const std::string& start);

/// A drift that still lasts at the last drive. `folded`: the levels of drives before, in any order;
/// `points`: those of `drives`, in time order, all without load and ambient effects.
std::optional<Drift> find_drift(const std::vector<LevelPoint>& folded,
                                const std::vector<LevelPoint>& points,
                                const std::vector<DriveSummary>& drives);

} // namespace coolband
