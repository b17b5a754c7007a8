// SPDX-License-Identifier: Apache-2.0
// Cuts a recording where one drive ends and the next begins, and measures each trip.
#include "coolband/segment/trip.hpp"

#include "segment/blocks.hpp"
#include "segment/phases.hpp"
#include "segment/regulation.hpp"
#include "segment/sanity.hpp"
#include "segment/settle_trip.hpp"
#include "segment/trip_borders.hpp"
#include "segment/trip_meter.hpp"
#include "segment/warm_up_traits.hpp"

namespace coolband {

namespace {

void settle_phases(Trip& trip, const SegmentOptions& options) {
  assign_phases(trip, options);
  measure_warm_ups(trip);
  trip.regulation = measure_regulation(trip);
  trip.sanity.frozen = frozen_reading(trip);
}

} // namespace

void settle_trip(Trip& trip, const SegmentOptions& options) {
  add_lagged_load(trip.blocks, options.load_lag_s);
  settle_phases(trip, options);
}

std::vector<Trip> find_trips(const Recording& recording, const Conditioned& conditioned,
                             const SegmentOptions& options) {
  const auto borders = trip_borders(recording, conditioned, options);
  std::vector<Trip> trips;
  trips.reserve(borders.size());
  TripMeter meter(recording, conditioned, options);
  for (std::size_t i = 0; i < borders.size(); ++i) {
    const std::size_t end = i + 1 < borders.size() ? borders[i + 1].first_row : recording.size();
    Trip trip = meter.measure(borders[i], end - 1);
    settle_phases(trip, options);
    trips.push_back(std::move(trip));
  }
  return trips;
}

} // namespace coolband
