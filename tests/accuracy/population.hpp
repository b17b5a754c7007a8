// SPDX-License-Identifier: Apache-2.0
// Vehicles drawn at random for the accuracy bench: small petrol car to lorry.
#pragma once

#include "circuit/scenario.hpp"
#include "support/random.hpp"

#include <cstddef>
#include <cstdint>
#include <string_view>

namespace coolband::accuracy {

using testing::Random;

struct DrawnVehicle {
  std::string_view kind; ///< "small petrol car", ...
  CircuitParameters circuit;
  Body body;
  Sensor sensor;
  double stamped_c = 0.0; ///< rating on the thermostat; it begins to open within 2 K of that
  double missing_share = 0.0;
  double tows_kg = 0.0;
  bool heavy = false; ///< lorries keep to lower speeds and gentler hills
  // its owner
  double season_c = 0.0; ///< mean outside temperature while it is learned
  double town = 0.0;     ///< share of everyday stretches
  double highway = 0.0;
};

/// The vehicle of this number. Its radiator and fan are enlarged until it neither boils on a laden
/// climb in the heat it was made for nor runs away at idle.
DrawnVehicle draw_vehicle(std::uint64_t seed, std::size_t number);

/// One stream of random numbers for each use, so that leaving one out alters no other.
Random random_for(std::uint64_t seed, std::size_t vehicle, std::size_t use);

bool chance(Random& random, double probability);

} // namespace coolband::accuracy
