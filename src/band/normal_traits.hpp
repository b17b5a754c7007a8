// SPDX-License-Identifier: Apache-2.0
// What else is normal for a vehicle: how it warms up, opens, swings, idles and cools.
#pragma once

#include "coolband/band/normal_band.hpp"

#include <vector>

namespace coolband {

/// Each trait takes three drives that show it.
Traits learn_traits(const std::vector<DriveSummary>& drives);

} // namespace coolband
