// SPDX-License-Identifier: Apache-2.0
// Does a logger begin anew in this line?
#pragma once

#include <string_view>

namespace coolband {

/// True for a line of a table in which two or more cells are headings that coolband knows, one of
/// them of time.
bool looks_like_headings(std::string_view line);

} // namespace coolband
