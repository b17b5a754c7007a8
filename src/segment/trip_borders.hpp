// SPDX-License-Identifier: Apache-2.0
// Where one trip ends and the next begins.
#pragma once

#include "coolband/segment/trip.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct TripBorder {
  std::size_t first_row = 0;
  std::optional<double> rest_s; ///< longest rest of the engine before, where the clock runs over it
  std::string trip_id;
  std::string vehicle_id;
};

/// The starts of all trips, in row order; none for an empty recording.
std::vector<TripBorder> trip_borders(const Recording& recording, const Conditioned& conditioned,
                                     const SegmentOptions& options);

} // namespace coolband
