// SPDX-License-Identifier: Apache-2.0
// What a fault did to the readings of one drive, told by the same drive without it.
#pragma once

#include "circuit/scenario.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "diagnose/condition_groups.hpp"

#include <vector>

namespace coolband::accuracy {

inline constexpr double k_differs_k = 5.0;         ///< a reading that is wrong
inline constexpr double k_observable_s = 300.0;    ///< of running with such readings, in all
inline constexpr std::size_t k_least_dropouts = 3; ///< separate wrong or missing readings
inline constexpr double k_frozen_s = 600.0;        ///< a reading frozen for so long,
inline constexpr double k_frozen_over_k = 3.0;     ///< while the true one moved by so much

struct Stretch {
  double from_s = 0.0;
  double to_s = 0.0;
};

struct Label {
  bool observable = false;
  /// By how much the reading is wrong for `k_observable_s` of running in all, 0 where it is not
  /// observable; infinite where it stands still or drops, which no size says.
  double off_by_k = 0.0;
  double lowest_k = 0.0; ///< of reading less healthy reading, engine running
  double highest_k = 0.0;
  double below_s = 0.0; ///< of running in which it is at least `k_differs_k` below
  double above_s = 0.0;
  std::vector<Stretch> stretches; ///< in which it differs so much, or is missing
};

/// Both drives are of one scenario and seed, rows at the same times, readings not rounded.
Label label_of(FaultKind kind, const std::vector<SimulatedRow>& faulty,
               const std::vector<SimulatedRow>& healthy);

/// Names that a report may give this fault, rightly.
std::vector<Condition> right_names(const FaultPlan& plan, const Label& label);

bool is_thermostat(FaultKind kind);
/// A cause other than `normal`.
bool is_fault(Condition condition);

} // namespace coolband::accuracy
