// SPDX-License-Identifier: Apache-2.0
// The band by which a vehicle of a fleet is judged: found, or learned from its own trips.
#pragma once

#include "fleet/log_work.hpp"
#include "fleet/vehicle_files.hpp"

#include <string>
#include <vector>

namespace coolband {

/// Learns a band without the thermal circuit from all logs, as `coolband learn` would, into
/// `files`. Returns why there is none; empty when there is one. (Of a vehicle whose reading is
/// restless the circuit is never fitted: then the band is marked as if it had been tried.)
std::string learn_from_logs(LogShelf& shelf, std::vector<LogWork>& logs, const std::string& id,
                            VehicleFiles& files);

/// Fits the thermal circuit to the drives that the band keeps. True when the band is another one
/// now, so that trips must be judged again.
bool add_circuit_to(VehicleFiles& files);

} // namespace coolband
