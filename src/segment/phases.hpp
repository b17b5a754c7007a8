// SPDX-License-Identifier: Apache-2.0
// What the engine was doing in each block.
#pragma once

#include "coolband/segment/trip.hpp"

namespace coolband {

/// Fills trip.blocks.phase, trip.warm_ups and trip.level_c.
void assign_phases(Trip& trip, const SegmentOptions& options);

} // namespace coolband
