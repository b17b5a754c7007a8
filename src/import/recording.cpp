// SPDX-License-Identifier: Apache-2.0
// The names of the roles, and the map from kept rows to rows of the input.
#include "coolband/import/recording.hpp"

#include <algorithm>

namespace coolband {

namespace {

constexpr std::array<std::string_view, k_role_count> k_names{
    "time",     "coolant", "ambient",  "intake", "load",   "rpm",  "speed",
    "throttle", "oil",     "altitude", "fan",    "heater", "trip", "vehicle"};

} // namespace

std::string_view name_of(Role role) { return k_names[static_cast<std::size_t>(role)]; }

std::optional<Role> role_named(std::string_view name) {
  const auto* found = std::find(k_names.begin(), k_names.end(), name);
  if (found == k_names.end()) return std::nullopt;
  return static_cast<Role>(found - k_names.begin());
}

void RowMap::add(Place place) {
  if (jumps_.empty() || place.row != expected_.row || place.line != expected_.line) {
    jumps_.push_back({next_, place});
  }
  ++next_;
  expected_ = {place.row + 1, place.line == 0 ? 0 : place.line + 1};
}

RowMap::Place RowMap::at(std::size_t index) const {
  if (jumps_.empty() || index >= next_) return {};
  auto after = std::upper_bound(jumps_.begin(), jumps_.end(), index,
                                [](std::size_t i, const Jump& jump) { return i < jump.index; });
  const Jump& jump = *std::prev(after);
  const std::size_t steps = index - jump.index;
  return {jump.place.row + steps, jump.place.line == 0 ? 0 : jump.place.line + steps};
}

} // namespace coolband
