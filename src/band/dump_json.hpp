// SPDX-License-Identifier: Apache-2.0
// JSON as text, as the library writes it: most of what is written are short plain strings, which go
// in as a whole instead of character by character.
#pragma once

#include <string>

#include <nlohmann/json_fwd.hpp>

namespace coolband {

/// The same bytes as `json.dump(indent, ' ', false, replace)`: what is no UTF-8 in a string becomes
/// U+FFFD. `indent`: -1 for one line.
std::string dumped(const nlohmann::ordered_json& json, int indent);

} // namespace coolband
