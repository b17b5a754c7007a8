// SPDX-License-Identifier: Apache-2.0
// --fail-on monitor|service|stop.
#pragma once

#include "coolband/diagnose/judgement.hpp"

#include <string>

namespace coolband::cli {

/// False for an empty level: the option was not given.
inline bool reached(Action action, const std::string& level) {
  if (level.empty()) return false;
  const Action least = level == "monitor"   ? Action::monitor
                       : level == "service" ? Action::service
                                            : Action::stop;
  return action >= least;
}

} // namespace coolband::cli
