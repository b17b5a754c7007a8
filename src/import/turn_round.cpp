// SPDX-License-Identifier: Apache-2.0
// Every column is turned by itself; texts hold from the row they stand in to the next change.
#include "import/turn_round.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>
#include <vector>

namespace coolband {

namespace {

/// Stretches of equal text keep their rows; the one that ended last begins first.
std::vector<TextChange> turned(const std::vector<TextChange>& changes, std::size_t rows,
                               Role role) {
  std::vector<TextChange> of_role;
  std::copy_if(changes.begin(), changes.end(), std::back_inserter(of_role),
               [&](const TextChange& change) { return change.role == role; });
  std::vector<TextChange> turned;
  std::size_t end = rows;
  for (auto change = of_role.rbegin(); change != of_role.rend(); ++change) {
    turned.push_back({rows - end, role, change->text});
    end = change->index;
  }
  // Rows before the first text have none, which is a change from this side.
  if (end > 0 && !of_role.empty()) turned.push_back({rows - end, role, {}});
  return turned;
}

} // namespace

void turn_round(Recording& recording) {
  const std::size_t rows = recording.size();
  if (rows == 0) return;
  const double last_s = recording.time_s.back();
  TimeColumn times;
  for (std::size_t row = rows; row-- > 0;) {
    // Rounded as it is the difference of two clock values now.
    times.push_back(std::round((last_s - recording.time_s[row]) * 1e6) / 1e6);
  }
  recording.clock.start_s = -(recording.clock.start_s + last_s);
  recording.time_s = std::move(times);
  for (Column& column : recording.values) {
    if (!column.empty()) column = column.turned();
  }
  auto changes = turned(recording.text_changes, rows, Role::trip);
  const auto vehicles = turned(recording.text_changes, rows, Role::vehicle);
  changes.insert(changes.end(), vehicles.begin(), vehicles.end());
  std::stable_sort(changes.begin(), changes.end(),
                   [](const auto& a, const auto& b) { return a.index < b.index; });
  recording.text_changes = std::move(changes);
  recording.row_map.turn_round();
}

} // namespace coolband
