// SPDX-License-Identifier: Apache-2.0
// Logs with more or fewer columns, finer or coarser.
#include "accuracy/columns.hpp"

#include "report/simulated_log.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband::accuracy {
namespace {

constexpr auto k_sets = std::to_array<ColumnSet>({
    {"full", "load, ambient, engine and road speed, altitude; 1 s, 0.1 °C"},
    {"no-load", "as full, without load", false},
    {"no-ambient", "as full, without ambient", true, false},
    {"coolant-only", "time and coolant; 1 s, 0.1 °C", false, false, false},
    {"coolant-10s", "time and coolant; 10 s", false, false, false, 10.0},
    {"coolant-1c", "time and coolant; 1 s, 1 °C", false, false, false, 1.0, 1.0},
    {"bare-trip", "time and coolant; 1 s, 0.1 °C, but learned as full", false, false, false, 1.0,
     0.1, false, Knowledge::band, true},
    {"full-10s", "as full, every 10 s", true, true, true, 10.0},
    {"full-1c", "as full, in steps of 1 °C", true, true, true, 1.0, 1.0},
    {"full-f", "as full, in US units and whole °F", true, true, true, 1.0, 5.0 / 9.0, true},
    {"profile", "as full, no band: the thermostat's stamped rating only", true, true, true, 1.0,
     0.1, false, Knowledge::profile},
    {"trip", "as full, no band and no profile", true, true, true, 1.0, 0.1, false, Knowledge::trip},
});

bool wanted(Role role, const ColumnSet& set) {
  switch (role) {
  case Role::coolant: return true;
  case Role::ambient: return set.ambient;
  case Role::load: return set.load;
  case Role::rpm:
  case Role::speed:
  case Role::altitude: return set.motion;
  default: return false;
  }
}

LogShape shape_of(const ColumnSet& set) {
  LogShape shape;
  for (const Role role : simulated_roles()) {
    if (wanted(role, set))
      shape.columns.push_back({role, set.fahrenheit ? us_unit(role) : metric_unit(role)});
  }
  shape.logging.period_s = set.period_s;
  shape.logging.sensor.resolution_c = set.step_c;
  shape.logging.ambient_resolution_c = std::max(set.step_c, 0.5);
  return shape;
}

} // namespace

std::span<const ColumnSet> column_sets() { return k_sets; }

std::optional<ColumnSet> column_set_named(std::string_view name) {
  const auto* found = std::find_if(k_sets.begin(), k_sets.end(),
                                   [&](const ColumnSet& set) { return set.name == name; });
  return found == k_sets.end() ? std::nullopt : std::optional(*found);
}

ColumnSet as_learned(ColumnSet set) {
  if (set.learned_full) set.load = set.ambient = set.motion = true;
  return set;
}

std::string log_text(const std::vector<SimulatedRow>& rows, const ColumnSet& set) {
  const SimulatedLog log(shape_of(set));
  std::string text;
  text.reserve(rows.size() * 48);
  SimulatedLog writer = log;
  writer.begin(text);
  for (const SimulatedRow& row : rows) {
    if (std::fmod(row.time_s, set.period_s) == 0.0) writer.add(row, text);
  }
  writer.end(text);
  return text;
}

} // namespace coolband::accuracy
