// SPDX-License-Identifier: Apache-2.0
// What creeps over a vehicle's trips, before any trip leaves the band; and which of a whole fleet's
// vehicles to believe it of.
#pragma once

#include "band/history.hpp"
#include "fleet/trip_measures.hpp"
#include "numeric/false_discovery.hpp"

#include <array>
#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace coolband {

/// A straight line over time by a robust fit, weather and load taken out beside it.
struct TrendSlope {
  double slope = 0.0;
  double error = 0.0; ///< standard error, serial correlation counted
};

struct MeasureTrend {
  Measure measure = Measure::level;
  std::size_t trips = 0; ///< that tell it
  std::string lacks;     ///< why there is no chart; empty: there is one
  double p = 1.0;        ///< see TrendChart; 1 where the change is too small to act upon
  double run_length = 1.0;
  bool upward = false;
  std::string since;          ///< start of the trip with which the run began
  std::optional<double> days; ///< from there to the latest trip
  std::size_t trips_since = 0;
  double before = 0.0; ///< median up to there, weather and load taken out, in the measure's unit
  double change = 0.0; ///< by which the median of the latest trips differs
  double change_error = 0.0;
  std::optional<TrendSlope> per_100_days; ///< none where not all trips are dated
  std::optional<TrendSlope> per_1000_h;   ///< of logged driving
  TrendSlope per_100_trips;
};

struct VehicleTrend {
  std::array<MeasureTrend, k_measures> measures;
  std::size_t trips = 0;        ///< looked at: since the latest service, of the latest sensor
  std::size_t unfit = 0;        ///< left out among them
  std::size_t other_sensor = 0; ///< left out since another sensor told them
  std::size_t before = 0;       ///< trips before the latest service
  std::string baseline_from;    ///< start of the first trip looked at
  /// Chance that a sound vehicle shows any of its measures so far off (Bonferroni over those that
  /// have a chart). NaN where none has.
  double p = std::numeric_limits<double>::quiet_NaN();
};

struct TrendOptions {
  /// Dates of services: the trips from then on have a baseline of their own.
  std::vector<std::string> services;
};

/// The services of a band's history, for `TrendOptions`.
std::vector<std::string> service_days(const History& history);

/// `trips` in time order, as `keep_latest` leaves them. Deterministic; cost about 10 ms at most.
VehicleTrend trend_of(std::span<const TripMeasures> trips, const TrendOptions& options = {});

/// A trend needs so many trips.
inline constexpr std::size_t k_least_trend_trips = 12;

/// Which of many to believe.
struct FleetFinding {
  std::vector<double> adjusted;   ///< p-values, adjusted over the fleet
  std::vector<std::size_t> found; ///< indices, the surest first
  double level = 0.0;             ///< the largest p-value among them; 0 when none is found
};
/// Expected share of sound vehicles among those found (docs/methods.md).
inline constexpr double k_false_share = 0.05;

/// Benjamini & Hochberg over one p-value a vehicle: vehicles are independent, or share the weather,
/// which moves them the same way. NaN: nothing is known of it.
FleetFinding fleet_trends(std::span<const double> vehicle_p, double false_share = k_false_share);

/// The same by either method; `adjusted` times 1 + 1/2 + ... where the p-values may hang together
/// in any way.
FleetFinding finding_of(std::span<const double> p, Dependence dependence, double false_share);

/// The measures of a found vehicle to believe, the surest first; `level` of the finding.
std::vector<Measure> believed(const VehicleTrend& trend, double level);

} // namespace coolband
