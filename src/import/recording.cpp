// SPDX-License-Identifier: Apache-2.0
// The names of the roles, and the map from kept rows to rows of the input.
#include "coolband/import/recording.hpp"

#include <algorithm>

namespace coolband {

namespace {

constexpr std::array<std::string_view, k_any_role_count> k_role_names{
    "time",     "coolant", "ambient",  "intake",     "load",   "rpm",  "speed",
    "throttle", "oil",     "altitude", "fan",        "heater", "trip", "vehicle",
    "signal",   "value",   "unit",     "identifier", "frame"};

} // namespace

std::string_view name_of(Role role) { return k_role_names[static_cast<std::size_t>(role)]; }

std::optional<Role> role_named(std::string_view name) {
  const auto* found = std::find(k_role_names.begin(), k_role_names.end(), name);
  if (found == k_role_names.end()) return std::nullopt;
  return static_cast<Role>(found - k_role_names.begin());
}

void RowMap::add(Place place) {
  if (jumps_.empty()) {
    jumps_.push_back({next_, place, 1});
  } else if (!continues(place)) {
    jumps_.push_back({next_, place, jumps_.back().line_step});
  }
  ++next_;
}

void RowMap::add_lines(Place first, std::size_t count) {
  // The first three settle the run: where it begins and how its lines go.
  std::size_t done = 0;
  for (; done < std::min<std::size_t>(count, 3); ++done) add({first.row + done, first.line + done});
  next_ += count - done;
}

/// True when the last run leads to `place`. The second row of a run settles its step: records may
/// share one line (0) or take several.
bool RowMap::continues(Place place) {
  Jump& run = jumps_.back();
  const std::size_t steps = next_ - run.index;
  if (place.row != run.place.row + steps || place.line < run.place.line) return false;
  if (steps == 1) run.line_step = place.line - run.place.line;
  return place.line == run.place.line + steps * run.line_step;
}

RowMap::Place RowMap::at(std::size_t index) const {
  if (jumps_.empty() || index >= next_) return {};
  if (turned_) index = next_ - 1 - index;
  auto after = std::upper_bound(jumps_.begin(), jumps_.end(), index,
                                [](std::size_t i, const Jump& jump) { return i < jump.index; });
  const Jump& jump = *std::prev(after);
  const std::size_t steps = index - jump.index;
  return {jump.place.row + steps, jump.place.line + steps * jump.line_step};
}

} // namespace coolband
