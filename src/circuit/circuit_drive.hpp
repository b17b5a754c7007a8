// SPDX-License-Identifier: Apache-2.0
// A drive as the reduced circuit sees it: what heats and cools the engine, block by block, in the
// units of the fit; and what the coolant sensor said.
#pragma once

#include "coolband/segment/trip.hpp"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace coolband {

/// One entry a block in every column.
struct CircuitDrive {
  std::vector<double> length_s;
  std::vector<double> turning; ///< engine speed over 2000 rpm; 0 when the engine stands
  std::vector<double> load;    ///< 0..1; made up from the road where it is not logged
  std::vector<double> wind;    ///< road speed over 25 m/s
  std::vector<double> air;     ///< wind^0.75: conductance of the radiator's air side
  std::vector<double> ambient_c;
  std::vector<double> coolant_c;    ///< as shown; NaN: not known
  std::vector<std::uint8_t> begins; ///< a new stretch: nothing is known of what was before
  std::vector<std::uint8_t> scored; ///< the prediction is held against the reading
  bool saw_load = false;
  bool saw_turning = false;
  bool saw_speed = false;
  bool saw_ambient = false; ///< else `ambient_c` is `k_usual_ambient_c`

  [[nodiscard]] std::size_t size() const { return coolant_c.size(); }
};

/// Where the log tells nothing of the weather, °C: the temperature of the standard atmosphere.
inline constexpr double k_usual_ambient_c = 15.0;

/// The first `at_most_s` of a trip's running. Empty where the trip has no believable reading.
CircuitDrive circuit_drive(const Blocks& blocks, double at_most_s);

} // namespace coolband
