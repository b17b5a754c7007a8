// SPDX-License-Identifier: Apache-2.0
// Gives a drawn vehicle a radiator and a fan that are equal to its engine.
#pragma once

#include "accuracy/population.hpp"

namespace coolband::accuracy {

/// Enlarges both until the vehicle can do what makers aim at: towing uphill in 45 to 50 °C without
/// boiling (from memory), and standing in 42 °C with the fan in command (common practice, no
/// source).
void size_radiator(DrawnVehicle& vehicle, Random& random);

} // namespace coolband::accuracy
