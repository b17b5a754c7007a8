// SPDX-License-Identifier: Apache-2.0
// Optimal string alignment distance, with a limit that grows with the length of the word.
#include "core/suggest.hpp"

#include <algorithm>
#include <vector>

namespace coolband {

namespace {

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

} // namespace

std::size_t edits_between(std::string_view a, std::string_view b) {
  // Three rows of the table are enough.
  std::vector<std::size_t> before(b.size() + 1);
  std::vector<std::size_t> above(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) above[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const bool same = lower(a[i - 1]) == lower(b[j - 1]);
      row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + (same ? 0U : 1U)});
      if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) &&
          lower(a[i - 2]) == lower(b[j - 1])) {
        row[j] = std::min(row[j], before[j - 2] + 1);
      }
    }
    before.swap(above);
    above.swap(row);
  }
  return above[b.size()];
}

std::string nearest(std::string_view word, std::span<const std::string> known) {
  std::string best;
  std::size_t best_edits = std::min<std::size_t>(3, (word.size() + 2) / 3) + 1;
  for (const std::string& candidate : known) {
    const std::size_t edits = edits_between(word, candidate);
    if (edits < best_edits && edits < candidate.size()) {
      best_edits = edits;
      best = candidate;
    }
  }
  return best;
}

} // namespace coolband
