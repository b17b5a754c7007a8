// SPDX-License-Identifier: Apache-2.0
// Trips, trends and siblings as JSON: what the fleet keeps of a vehicle, and what it says of it.
#pragma once

#include "band/json_fields.hpp"
#include "fleet/siblings.hpp"
#include "fleet/trends.hpp"
#include "fleet/trip_measures.hpp"

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

namespace coolband {

/// One trip, as kept. What is not known has no key.
nlohmann::ordered_json trip_measures_json(const TripMeasures& trip);
/// The same back; complaints go to the reader. Keys that this version does not know are ignored.
TripMeasures trip_measures_from(FieldReader& reader, const nlohmann::ordered_json& json);

/// The same as text on one line, as a fleet's record keeps it. Reading: an error (kind usage, names
/// `name`) where it is damaged or of another version.
std::string trip_measures_text(const TripMeasures& trip);
Result<TripMeasures> parse_trip_measures(const std::string& text, const std::string& name);

/// What a vehicle's trips show over time; of `believed` measures, the words beside the numbers.
nlohmann::ordered_json trend_json(const VehicleTrend& trend,
                                  const std::vector<Measure>& believed_measures);

/// A vehicle beside its like; `words` of the distances to be believed.
nlohmann::ordered_json siblings_json(const AmongSiblings& vehicle,
                                     const std::vector<SiblingDistance>& believed_distances);

} // namespace coolband
