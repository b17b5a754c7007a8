// SPDX-License-Identifier: Apache-2.0
// How long each way of working lasts is judgement.
#include "diagnose/turns.hpp"

namespace coolband {

namespace {

/// Mean time that a sound spell and a faulty one last, s.
constexpr double k_sound_spell_s = 1800.0;
constexpr double k_faulty_spell_s = 900.0;
/// A sticking valve holds where it happens to stand, for a few minutes at a time.
constexpr double k_valve_positions[] = {0.0, 0.1, 0.25, 0.5, 1.0};
constexpr double k_valve_sound_s = 300.0;
constexpr double k_valve_holds_s = 250.0;
/// Slugs of gas pass within minutes, take so much of the flow, or leave the sensor in gas so much
/// colder.
constexpr double k_gas_free_s = 600.0;
constexpr double k_gas_slug_s = 60.0;
constexpr double k_bare_sensor_s = 30.0;
constexpr double k_gas_flows[] = {0.5, 0.15};
constexpr double k_bare_sensor_k[] = {6.0, 12.0, 20.0};

} // namespace

Turns sticking_valve() {
  Turns turns{Condition::thermostat_sticking,
              "the valve holds where it stands, for minutes at a time",
              {},
              0.0};
  turns.modes.push_back({{}, k_valve_sound_s});
  for (const double position : k_valve_positions) {
    const ReducedFault held{.lift_at_least = position, .lift_at_most = position};
    turns.modes.push_back({held, k_valve_holds_s});
  }
  return turns;
}

Turns slugs_of_gas() {
  Turns turns{Condition::air_or_low_coolant,
              "gas takes flow, or leaves the sensor bare, in slugs",
              {},
              0.0};
  turns.modes.push_back({{}, k_gas_free_s});
  for (const double left : k_gas_flows) turns.modes.push_back({{.flow = left}, k_gas_slug_s, true});
  for (const double low_k : k_bare_sensor_k)
    turns.modes.push_back({{.offset_k = -low_k}, k_bare_sensor_s, true});
  return turns;
}

Turns spells_at(const Candidate& candidate, double severity) {
  return {candidate.condition,
          candidate.words(severity),
          {{{}, k_sound_spell_s}, {candidate.fault(severity), k_faulty_spell_s}},
          severity};
}

std::vector<Turns> spells_of(const Candidate& candidate) {
  std::vector<Turns> all;
  for (int i = 0; i < candidate.spell_severities; ++i)
    all.push_back(spells_at(candidate, (i + 0.5) / candidate.spell_severities));
  return all;
}

} // namespace coolband
