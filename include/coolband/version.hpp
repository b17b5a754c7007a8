// SPDX-License-Identifier: Apache-2.0
// The version this library was built as.
#pragma once

#include <string_view>

namespace coolband {

/// "MAJOR.MINOR.PATCH"
std::string_view version();

} // namespace coolband
