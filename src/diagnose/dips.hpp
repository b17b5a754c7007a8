// SPDX-License-Identifier: Apache-2.0
// Drops of the reading that coolant cannot make but gas at the sensor can.
#pragma once

#include "coolband/segment/trip.hpp"

#include <cstddef>
#include <optional>

namespace coolband {

/// How often in warm running the reading falls and comes back faster than the heat capacity of an
/// engine allows: 0.3 K/s each way (30 kW into 100 kJ/K) beyond one step of the reading, within two
/// minutes. None when the log is sampled too coarsely to tell.
std::optional<std::size_t> sudden_dips(const Trip& trip);

} // namespace coolband
