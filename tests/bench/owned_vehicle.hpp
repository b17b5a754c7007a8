// SPDX-License-Identifier: Apache-2.0
// Healthy vehicles drawn at random, and what their owners do with them over a year.
#pragma once

#include "support/drive_simulator.hpp"
#include "support/random.hpp"

#include <cstddef>
#include <vector>

namespace coolband::testing {

struct Owned {
  Vehicle vehicle;
  double sample_period_s = 1.0;
  double payload_kg = 0.0; ///< at most; each drive has some of it
  double trailer_kg = 0.0; ///< 0: never tows
  double hilly = 0.0;      ///< share of drives with a climb
  double standing = 0.0;   ///< share of stops that last for minutes
  double town = 0.0;       ///< shares of the driving; what is left is country road
  double motorway = 0.0;
};

struct Drive {
  DrivePlan plan;
  double heater_use = 1.0; ///< by the people in the cabin
};

/// Ranges about the two vehicles of the detection bench (common practice, no source).
Owned make_owned(Random& random);

/// Drives over a year in which the air is 0 to 32 °C; up to four in a row belong to one week.
std::vector<Drive> make_drives(const Owned& owned, Random& random, std::size_t count);

DriveLog drive_it(const Owned& owned, const Drive& drive);

} // namespace coolband::testing
