// SPDX-License-Identifier: Apache-2.0
// What in a profile is probably not as it was meant.
#pragma once

#include "coolband/band/vehicle_profile.hpp"

#include <string>
#include <vector>

namespace coolband {

/// Sentences for a person, in the order of the file: fields that are passed over though a known one
/// is spelled nearly so, and a cap whose number looks like another unit. A field that resembles
/// none is somebody else's, and nothing is said of it.
std::vector<std::string> profile_slips(const VehicleProfile& profile);

} // namespace coolband
