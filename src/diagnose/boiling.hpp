// SPDX-License-Identifier: Apache-2.0
// How close a trip came to boiling.
#pragma once

#include "coolband/diagnose/judgement.hpp"

namespace coolband {

/// Boiling point for the profile's mix and cap at the trip's highest altitude, with every
/// assumption that had to be made, and the margin left by `hottest_c`.
Boiling boiling_of(const Trip& trip, const std::optional<VehicleProfile>& profile,
                   std::optional<double> hottest_c);

} // namespace coolband
