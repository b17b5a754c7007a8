// SPDX-License-Identifier: Apache-2.0
// Parts of a record that the summary says as well.
#pragma once

#include "fleet/vehicle_record.hpp"

#include <vector>

#include <nlohmann/json_fwd.hpp>

namespace coolband {

/// Null for what is not known or not finite.
nlohmann::ordered_json maybe_number(const std::optional<double>& value);
nlohmann::ordered_json problems_json(const std::vector<Problem>& problems);
/// Throws what the library throws, for what is no list of problems.
std::vector<Problem> problems_in(const nlohmann::ordered_json& list);
nlohmann::ordered_json state_json(const VehicleState& state);
nlohmann::ordered_json band_json(const BandRecord& band);

} // namespace coolband
