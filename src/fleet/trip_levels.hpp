// SPDX-License-Identifier: Apache-2.0
// How a trip's warm running lies about what the band expects of it.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/segment/trip.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace coolband {

/// One entry a warm block with a reading.
struct WarmRunning {
  std::vector<double> deviation_k; ///< reading less what the band expects
  std::vector<double> load_pct;    ///< lagged; empty where one of them lacks it
  std::vector<double> ambient_c;   ///< those that have it
  double length_s = 0.0;
};
WarmRunning warm_running(const Trip& trip, const NormalBand& band);

struct Estimate {
  double value = 0.0;
  double error = 0.0; ///< standard error, serial correlation counted
};

struct TripLevel {
  Estimate level;   ///< K beyond the band
  Estimate scatter; ///< ln of the robust scatter in K about that
};
/// Robust: a passing disturbance does not move it. None without readings enough.
std::optional<TripLevel> trip_level(const WarmRunning& running);

/// K beyond the band at this load, by the trip's own line over load. None where the load is not
/// known or hardly varied, or the trip stayed far below it.
std::optional<Estimate> level_at_load(const WarmRunning& running, double load_pct);

} // namespace coolband
