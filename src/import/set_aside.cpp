// SPDX-License-Identifier: Apache-2.0
// The list of reasons is short, so it is searched.
#include "import/set_aside.hpp"

#include "import/vocabulary.hpp"

#include <algorithm>
#include <charconv>
#include <string_view>

namespace coolband {

namespace {

constexpr std::size_t k_longest_excerpt = 300;
constexpr std::string_view k_under_others = "stands under the other headings of line ";

} // namespace

void count_set_aside(std::vector<SetAside>& list, const std::string& reason, RowMap::Place at) {
  const auto found = std::find_if(list.begin(), list.end(),
                                  [&](const SetAside& entry) { return entry.reason == reason; });
  if (found != list.end())
    ++found->count;
  else
    list.push_back({reason, 1, at.row, at.line});
}

std::string under_other_headings(std::size_t line) {
  return std::string(k_under_others) + std::to_string(line);
}

std::optional<RowMap::Place> other_headings(const HowRead& how) {
  for (const SetAside& entry : how.set_aside) {
    if (!entry.reason.starts_with(k_under_others)) continue;
    std::size_t line = 0;
    const char* const end = entry.reason.data() + entry.reason.size();
    std::from_chars(entry.reason.data() + k_under_others.size(), end, line);
    if (line > 0) return RowMap::Place{entry.first_row - 1, line};
  }
  return std::nullopt;
}

std::string excerpt_of(const Row& row, char delimiter) {
  std::string text;
  for (const std::string_view cell : row.cells) {
    if (!text.empty()) text += delimiter;
    text += cell;
    if (text.size() > k_longest_excerpt) break;
  }
  return as_utf8(text);
}

} // namespace coolband
