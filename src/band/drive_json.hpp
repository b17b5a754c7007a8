// SPDX-License-Identifier: Apache-2.0
// Drives, one by one and folded, as JSON of the band file.
#pragma once

#include "band/json_fields.hpp"
#include "coolband/band/normal_band.hpp"

#include <nlohmann/json_fwd.hpp>

namespace coolband {

/// What is not known has no key.
nlohmann::ordered_json drive_json(const DriveSummary& drive);
DriveSummary drive_from(FieldReader& reader, const nlohmann::ordered_json& json);

nlohmann::ordered_json folded_json(const FoldedDrives& sums);
FoldedDrives folded_from(FieldReader& reader, const nlohmann::ordered_json& json);

/// Fields of `json` that `known` does not have, as JSON text; empty when there are none.
std::string unknown_fields(const nlohmann::ordered_json& json, const nlohmann::ordered_json& known);

} // namespace coolband
