// SPDX-License-Identifier: Apache-2.0
// A year of trips of vehicles drawn at random, some of which slowly get a fault.
#pragma once

#include "circuit/fault.hpp"
#include "fleet/trip_measures.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coolband::testing {

inline constexpr double k_year_days = 365.0;
/// A fault begins on this day and grows evenly, to `k_worst_severity` at the end of the year.
inline constexpr double k_fault_day = 60.0;
inline constexpr double k_worst_severity = 1.6;

struct YearPlan {
  std::uint64_t seed = 1;
  std::size_t number = 0;         ///< of the vehicle
  std::optional<FaultKind> fault; ///< none: sound
  double trips_a_day = 0.45;
};

struct YearTrip {
  double day = 0.0; ///< since the band was learned
  double severity = 0.0;
  TripMeasures measures;
  /// The same trip of the sound vehicle stayed within the band: the fault made this one leave it.
  bool left_by_fault = false;
  bool named_by_fault = false; ///< likewise, a fault in the verdict
};

struct YearOfTrips {
  YearPlan plan;
  std::vector<YearTrip> trips;
  std::vector<std::string> problems;
};

/// Learns a band from twelve sound drives of the weeks before, then measures the trips of a year,
/// each simulated, written as a log, read and judged as the program does it.
YearOfTrips drive_a_year(const YearPlan& plan);

/// One of several like vehicles of one yard: parts within their tolerances, an owner of its own.
struct SiblingPlan {
  std::uint64_t seed = 1;
  std::size_t group = 0;
  std::size_t number = 0;         ///< in the group
  std::optional<FaultKind> fault; ///< there from the beginning: its band is learned with it
  double severity = 1.0;
  std::size_t trips = 20;
};

/// Its trips after those that its band was learned from.
std::vector<TripMeasures> drive_sibling(const SiblingPlan& plan);

/// 0 before the fault begins.
double severity_on(double day);

} // namespace coolband::testing
