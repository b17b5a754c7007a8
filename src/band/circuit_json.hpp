// SPDX-License-Identifier: Apache-2.0
// The fitted circuit and the drives behind it in the band file.
#pragma once

#include "band/json_fields.hpp"
#include "coolband/circuit/fitted_circuit.hpp"

#include <optional>

#include <nlohmann/json_fwd.hpp>

namespace coolband {

nlohmann::ordered_json circuit_json(const std::optional<FittedCircuit>& circuit);
/// None where the band has none. Complains of a parameter that is missing or impossible.
std::optional<FittedCircuit> circuit_from(FieldReader& reader, const nlohmann::ordered_json& json);

/// A drive's blocks as base64 (RFC 4648) of ten bytes each, least byte first: length in 0.1 s (2),
/// coolant in 0.01 °C (2), ambient in 0.1 °C (2), engine speed in 31.25 rpm, load in 0.5 %, road
/// speed in km/h, and flags (1: begins a stretch, 2: held against a prediction).
nlohmann::ordered_json circuit_drive_json(const CircuitDrive& drive);
/// Empty where the drive has none.
CircuitDrive circuit_drive_from(FieldReader& reader, const nlohmann::ordered_json& json);

} // namespace coolband
