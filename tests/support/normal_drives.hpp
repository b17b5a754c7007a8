// SPDX-License-Identifier: Apache-2.0
// Normal drives of vehicles drawn at random, for studies of what a fit finds in them. Two worlds
// that share no code: the tests' own small simulator, and the library's thermal circuit driven by
// the same driver.
#pragma once

#include "circuit/circuit_drive.hpp"
#include "support/random.hpp"

#include <cstddef>
#include <vector>

namespace coolband::testing {

enum class World { test_simulator, thermal_circuit };

/// Columns that the logs have besides time and coolant.
struct Columns {
  bool load = true;
  bool motion = true; ///< engine speed, road speed, altitude
  bool ambient = true;
};

struct NormalVehicle {
  double opens_c = 0.0; ///< true start of opening
  std::vector<CircuitDrive> drives;
};

/// Thermostats of 74 to 92 °C, 8 to 15 K wide, 1 to 5 K of hysteresis; engines, radiators, fans,
/// heaters and sensors within a factor of about 1.5 of the usual. Drives of half an hour to an hour
/// at -5 to 32 °C, seven of ten from cold; readings in 1 °C steps at 1 Hz.
NormalVehicle draw_vehicle(World world, std::size_t drives, const Columns& columns, Random& random);

} // namespace coolband::testing
