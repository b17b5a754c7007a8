// SPDX-License-Identifier: Apache-2.0
// Rows of one trip gathered into blocks.
#pragma once

#include "coolband/segment/trip.hpp"

namespace coolband {

/// Blocks of the rows [trip.first_row, trip.last_row]; phases are left at Phase::warm.
Blocks gather_blocks(const Recording& recording, const Conditioned& conditioned, const Trip& trip,
                     const SegmentOptions& options);

} // namespace coolband
