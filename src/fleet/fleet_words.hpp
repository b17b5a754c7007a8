// SPDX-License-Identifier: Apache-2.0
// Words of the fleet's summary that text and page share.
#pragma once

#include "fleet/fleet_summary.hpp"

#include <string>

namespace coolband {

/// "3 vehicles", "1 vehicle".
std::string counted(std::size_t count, std::string_view noun);
/// "3 vehicles, 18 trips in 18 logs"
std::string fleet_size_words(const FleetCounts& counts);
/// "1 to be stopped, 2 to be checked, 3 to be watched, 5 with nothing to do"
std::string fleet_state_words(const FleetCounts& counts);
/// "2 bands given, 1 learned from the vehicle's own trips, 1 vehicle without"
std::string fleet_band_words(const FleetCounts& counts);
/// "stop", "check", "watch", "nothing to do".
std::string action_words(Action action);
/// What the state rests on: "confidence 0.86; 2 of the latest 5 trips; 12 K to boiling".
std::string ground_words(const VehicleState& state);
/// "new: the thermostat hangs open", "worse: was nothing to do"; empty without a change.
std::string change_words(const VehicleRecord& vehicle, std::size_t run);
/// Why a vehicle stands as "not judged"; empty where it was judged.
std::string not_judged_words(const VehicleRecord& vehicle);

} // namespace coolband
