// SPDX-License-Identifier: Apache-2.0
// Time told by the heat that the engine makes, so that idling or a descent does not look like a
// thermostat.
#pragma once

#include "coolband/segment/trip.hpp"

#include <vector>

namespace coolband {

/// Readings of a stretch of running, without holes: one entry a block that has one.
struct HeatSeries {
  std::vector<double> time_s; ///< middle of the block
  std::vector<double> coolant_c;
  std::vector<double> clock_min; ///< minutes at the average heat
  std::vector<double> speed;     ///< km/h; NaN where not known
  bool heat_known = false;       ///< not just time

  [[nodiscard]] std::size_t size() const { return time_s.size(); }
};

/// Blocks `first` to before `end`. Heat goes with fuel, and fuel with load times engine speed:
/// both where they are known in nearly all of the blocks, else the one that is, else time itself.
HeatSeries heat_series(const Blocks& blocks, std::size_t first, std::size_t end);

} // namespace coolband
