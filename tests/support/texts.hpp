// SPDX-License-Identifier: Apache-2.0
// Words looked for in what the program says.
#pragma once

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace coolband::testing {

inline bool says(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

/// One of them says it.
inline bool mentions(const std::vector<std::string>& texts, std::string_view part) {
  return std::any_of(texts.begin(), texts.end(),
                     [&](const std::string& text) { return says(text, part); });
}

/// How often, without overlap.
inline std::size_t times_in(std::string_view text, std::string_view part) {
  std::size_t found = 0;
  for (auto at = text.find(part); at != std::string_view::npos;
       at = text.find(part, at + part.size()))
    ++found;
  return found;
}

} // namespace coolband::testing
