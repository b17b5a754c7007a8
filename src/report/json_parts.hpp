// SPDX-License-Identifier: Apache-2.0
// JSON parts that the report and the inspection share.
#pragma once

#include "coolband/report/report.hpp"

#include <optional>

#include <nlohmann/json_fwd.hpp>

namespace coolband {

/// A number without the noise of its last bits; a number that is not finite is null.
nlohmann::ordered_json rounded(double value, int digits = 3);
nlohmann::ordered_json maybe(const std::optional<double>& value, int digits = 3);

/// Null for what is empty.
nlohmann::ordered_json text_or_null(const std::string& text);

/// As it is written: what is no UTF-8 is replaced, what steers a terminal is escaped. `indent`: -1
/// for one line.
std::string json_text(const nlohmann::ordered_json& json, int indent);

/// An instant as text, null where the clock has none.
nlohmann::ordered_json instant(const Recording& recording, double seconds);

nlohmann::ordered_json trip_json(const Recording& recording, const Trip& trip);
/// `band` tells how long each should have taken, if it is known.
nlohmann::ordered_json warm_ups_json(const Trip& trip, const NormalBand* band);
nlohmann::ordered_json import_json(const HowRead& how);

} // namespace coolband
