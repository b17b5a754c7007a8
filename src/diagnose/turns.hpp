// SPDX-License-Identifier: Apache-2.0
// Faults that come and go.
#pragma once

#include "circuit/by_turns.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "diagnose/candidates.hpp"

#include <string>
#include <vector>

namespace coolband {

/// Ways of working that take turns, the sound one first.
struct Turns {
  Condition condition = Condition::normal;
  std::string what;
  std::vector<Mode> modes;
  double severity = 0.0; ///< of a candidate's spells
};

/// A valve that holds wherever it happens to stand and then goes again.
Turns sticking_valve();
/// Gas on its way through the circuit.
Turns slugs_of_gas();
/// A candidate that comes and goes, of one severity.
Turns spells_at(const Candidate& candidate, double severity);
/// The same at several severities, in equal steps from 0 to 1; empty for a candidate that does not
/// come and go.
std::vector<Turns> spells_of(const Candidate& candidate);

} // namespace coolband
