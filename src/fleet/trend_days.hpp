// SPDX-License-Identifier: Apache-2.0
// Instants as text on a line of days.
#pragma once

#include <optional>
#include <string_view>

namespace coolband {

/// Days since 1970-01-01 of "2031-05-06", "2031-05-06T07:08:09", "...Z" or "...+02:00" (then in
/// UTC); none where the text is no such instant.
std::optional<double> days_of(std::string_view instant);

} // namespace coolband
