// SPDX-License-Identifier: Apache-2.0
// "Did you mean": the nearest of a list of known words.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

namespace coolband {

/// Edits (insert, delete, replace, swap of neighbours) from `a` to `b`, without regard to ASCII
/// case.
std::size_t edits_between(std::string_view a, std::string_view b);

/// The known word with the fewest edits from `word`,
/// without regard to ASCII case; empty when none is near. Of equals the first wins.
std::string nearest(std::string_view word, std::span<const std::string> known);

} // namespace coolband
