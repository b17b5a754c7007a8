// SPDX-License-Identifier: Apache-2.0
// The list of reasons is short, so it is searched.
#include "import/set_aside.hpp"

#include "import/vocabulary.hpp"

#include <algorithm>

namespace coolband {

namespace {

constexpr std::size_t k_longest_excerpt = 300;

} // namespace

void count_set_aside(std::vector<SetAside>& list, const std::string& reason, RowMap::Place at) {
  const auto found = std::find_if(list.begin(), list.end(),
                                  [&](const SetAside& entry) { return entry.reason == reason; });
  if (found != list.end())
    ++found->count;
  else
    list.push_back({reason, 1, at.row, at.line});
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
