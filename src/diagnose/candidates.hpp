// SPDX-License-Identifier: Apache-2.0
// The things that may be wrong with a cooling system, as the thermal circuit can hold them against
// a trip.
#pragma once

#include "circuit/reduced_circuit.hpp"
#include "coolband/diagnose/judgement.hpp"

#include <span>
#include <string>

namespace coolband {

/// One way of being wrong, with a severity from 0 (hardly worth a repair) to 1 (as bad as it gets).
struct Candidate {
  Condition condition;
  ReducedFault (*fault)(double severity);
  std::string (*words)(double severity);
  /// Where it may also be at work for a part of the trip only: at so many severities, each a few
  /// kelvins from the next; 0: it does not come and go.
  int spell_severities;
  bool for_known_vehicles = false; ///< tells nothing beside a circuit that is only the usual one
  bool regulates = false;          ///< it holds a level as a sound vehicle does, only another one
  double weight = 1.0;             ///< how often, beside the other ways of the same part

  /// Coolant reaches the radiator while the valve should be shut.
  [[nodiscard]] bool passes_shut() const;
};

std::span<const Candidate> candidates();

} // namespace coolband
