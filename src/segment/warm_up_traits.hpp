// SPDX-License-Identifier: Apache-2.0
// What a warm-up tells beside how long it took: its pace, where the thermostat first opened, and
// under which conditions.
#pragma once

#include "coolband/segment/trip.hpp"

namespace coolband {

/// Fills the traits of `trip.warm_ups`; phases and level must be known.
void measure_warm_ups(Trip& trip);

} // namespace coolband
