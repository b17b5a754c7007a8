// SPDX-License-Identifier: Apache-2.0
// Cuts a recording where one drive ends and the next begins, and measures each trip.
#include "coolband/segment/trip.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "segment/blocks.hpp"
#include "segment/phases.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

/// Rows beyond this many tell nothing new about the sampling period or the resolution.
constexpr std::size_t k_sample = 20000;

std::vector<std::size_t> trip_starts(const Recording& recording, const SegmentOptions& options) {
  std::vector<std::size_t> starts;
  auto change = recording.text_changes.begin();
  for (std::size_t row = 0; row < recording.size(); ++row) {
    bool first = row == 0;
    for (; change != recording.text_changes.end() && change->index <= row; ++change) first = true;
    if (!first) {
      const double step_s = recording.time_s[row] - recording.time_s[row - 1];
      first = step_s < 0.0 || step_s > options.trip_gap_s;
    }
    if (first) starts.push_back(row);
  }
  return starts;
}

double median_step(const Recording& recording, const Trip& trip) {
  std::vector<double> steps;
  for (std::size_t row = trip.first_row; row < trip.last_row && steps.size() < k_sample; ++row) {
    const double step = recording.time_s[row + 1] - recording.time_s[row];
    if (step > 0.0) steps.push_back(step);
  }
  return steps.empty() ? 0.0 : median(std::move(steps));
}

/// The coarsest of the usual steps that every reading is a multiple of. Readings converted from
/// whole °F are multiples of 1/1.8 K from -32 °F on, those from whole K lie 0.15 below whole °C.
double resolution_of(const Column& coolant, const Trip& trip) {
  struct Grid {
    double step_c;
    double origin_c;
  };
  constexpr Grid k_grids[] = {
      {1.0, 0.0}, {1.0, -0.15}, {1.0 / 1.8, -32.0 / 1.8}, {0.5, 0.0}, {0.1, 0.0}};
  const std::size_t to = std::min(trip.last_row + 1, trip.first_row + k_sample);
  for (const Grid& grid : k_grids) {
    bool fits = true;
    for (std::size_t row = trip.first_row; row < to && fits; ++row) {
      if (std::isnan(coolant[row])) continue;
      const double steps = (static_cast<double>(coolant[row]) - grid.origin_c) / grid.step_c;
      fits = std::abs(steps - std::round(steps)) * grid.step_c < 1e-3;
    }
    if (fits) return grid.step_c;
  }
  return 0.0;
}

std::optional<double> distance_km(const Recording& recording, const Trip& trip) {
  const auto& speed = recording.column(Role::speed);
  if (speed.empty()) return std::nullopt;
  double km = 0.0;
  float last = std::nanf("");
  for (std::size_t row = trip.first_row; row < trip.last_row; ++row) {
    if (plausible(Role::speed, speed[row])) last = speed[row];
    const double step_s = recording.time_s[row + 1] - recording.time_s[row];
    if (!std::isnan(last) && step_s <= 60.0) km += static_cast<double>(last) * step_s / 3600.0;
  }
  return km;
}

double longest_gap(const Recording& recording, const Trip& trip) {
  double longest = 0.0;
  for (std::size_t row = trip.first_row; row < trip.last_row; ++row) {
    longest = std::max(longest, recording.time_s[row + 1] - recording.time_s[row]);
  }
  return longest;
}

/// The text of a trip or vehicle column that holds at `row`.
std::string text_at(const Recording& recording, Role role, std::size_t row) {
  std::string text;
  for (const TextChange& change : recording.text_changes) {
    if (change.index > row) break;
    if (change.role == role) text = change.text;
  }
  return text;
}

Trip make_trip(const Recording& recording, const Conditioned& conditioned, Trip trip,
               const SegmentOptions& options) {
  trip.start_s = recording.time_s[trip.first_row];
  trip.duration_s = recording.time_s[trip.last_row] - trip.start_s;
  trip.sample_period_s = median_step(recording, trip);
  trip.resolution_c = resolution_of(recording.column(Role::coolant), trip);
  trip.longest_gap_s = longest_gap(recording, trip);
  trip.distance_km = distance_km(recording, trip);
  trip.trip_id = text_at(recording, Role::trip, trip.first_row);
  trip.vehicle_id = text_at(recording, Role::vehicle, trip.first_row);
  for (std::size_t row = trip.first_row; row <= trip.last_row; ++row) {
    trip.usable_rows += conditioned.coolant[row] == Quality::good ? 1U : 0U;
  }
  for (const SensorEvent& event : conditioned.events) {
    if (event.first_row >= trip.first_row && event.first_row <= trip.last_row) {
      trip.sensor_events.push_back(event);
    }
  }
  trip.blocks = gather_blocks(recording, conditioned, trip, options);
  assign_phases(trip, options);
  return trip;
}

} // namespace

std::vector<Trip> find_trips(const Recording& recording, const Conditioned& conditioned,
                             const SegmentOptions& options) {
  const auto starts = trip_starts(recording, options);
  std::vector<Trip> trips;
  for (std::size_t i = 0; i < starts.size(); ++i) {
    Trip trip;
    trip.first_row = starts[i];
    trip.last_row = (i + 1 < starts.size() ? starts[i + 1] : recording.size()) - 1;
    trips.push_back(make_trip(recording, conditioned, trip, options));
  }
  return trips;
}

} // namespace coolband
