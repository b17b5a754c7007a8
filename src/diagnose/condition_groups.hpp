// SPDX-License-Identifier: Apache-2.0
// Conditions of one part.
#pragma once

#include "coolband/diagnose/judgement.hpp"

namespace coolband {

/// Those of a thermostat that can make an engine run hot.
inline bool is_hot_thermostat(Condition condition) {
  return condition == Condition::thermostat_stuck_closed ||
         condition == Condition::thermostat_sticking;
}

inline bool is_thermostat(Condition condition) {
  return condition == Condition::thermostat_stuck_open || is_hot_thermostat(condition);
}

} // namespace coolband
