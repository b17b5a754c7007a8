// SPDX-License-Identifier: Apache-2.0
// What coolband writes or takes elsewhere, given as a log by mistake.
#pragma once

#include "coolband/core/error.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace coolband {

/// What the file is and where it belongs, when the text begins with a `schema` of coolband's own;
/// none for any other text.
std::optional<Error> own_file_error(std::string_view text, const std::string& name);

} // namespace coolband
