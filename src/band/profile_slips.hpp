// SPDX-License-Identifier: Apache-2.0
// What in a profile is probably not as it was meant.
#pragma once

#include "coolband/band/vehicle_profile.hpp"

#include <string>
#include <vector>

namespace coolband {

/// A cap rated below this is more likely a number in psi or bar without its unit (common practice,
/// no source).
inline constexpr double k_lowest_likely_cap_kpa = 30.0;

/// Sentences for a person, in the order of the file: fields that are passed over though a known one
/// is spelled nearly so, and a cap whose number looks like another unit. A field that resembles
/// none is somebody else's, and nothing is said of it.
std::vector<std::string> profile_slips(const VehicleProfile& profile);

} // namespace coolband
