// SPDX-License-Identifier: Apache-2.0
// One way to make the errors of the import.
#pragma once

#include "coolband/core/error.hpp"

#include <string>

namespace coolband {

/// An error of kind input. `excerpt` and `remedy` may be empty.
Error input_error(Origin origin, std::string message, std::string excerpt, std::string remedy);

/// An error of kind usage: the user's own words cannot be right.
Error usage_error(std::string message, std::string remedy);

} // namespace coolband
