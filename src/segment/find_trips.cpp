// SPDX-License-Identifier: Apache-2.0
// Cuts a recording where one drive ends and the next begins, and measures each trip.
#include "coolband/segment/trip.hpp"

#include "segment/phases.hpp"
#include "segment/regulation.hpp"
#include "segment/sanity.hpp"
#include "segment/trip_borders.hpp"
#include "segment/trip_meter.hpp"
#include "segment/warm_up_traits.hpp"

namespace coolband {

std::vector<Trip> find_trips(const Recording& recording, const Conditioned& conditioned,
                             const SegmentOptions& options) {
  const auto borders = trip_borders(recording, conditioned, options);
  std::vector<Trip> trips;
  trips.reserve(borders.size());
  TripMeter meter(recording, conditioned, options);
  for (std::size_t i = 0; i < borders.size(); ++i) {
    const std::size_t end = i + 1 < borders.size() ? borders[i + 1].first_row : recording.size();
    Trip trip = meter.measure(borders[i], end - 1);
    assign_phases(trip, options);
    measure_warm_ups(trip);
    trip.regulation = measure_regulation(trip);
    trip.sanity.frozen = frozen_reading(trip);
    trips.push_back(std::move(trip));
  }
  return trips;
}

} // namespace coolband
