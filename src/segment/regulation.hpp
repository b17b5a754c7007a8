// SPDX-License-Identifier: Apache-2.0
// How a trip runs once it is warm, besides its level.
#pragma once

#include "coolband/segment/trip.hpp"

namespace coolband {

/// Phases must be known.
Regulation measure_regulation(const Trip& trip);

} // namespace coolband
