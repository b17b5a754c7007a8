// SPDX-License-Identifier: Apache-2.0
// What a log can show, what it cannot, and what to log next time.
#pragma once

#include "coolband/report/report.hpp"

#include <string>
#include <vector>

namespace coolband {

struct LogScope {
  std::vector<std::string> can_judge;
  std::vector<std::string> cannot_judge; ///< begins with the limits that all trips share
  std::vector<std::string> log_next;
};

/// Of all trips of one log together: what one of them shows, the log can show.
LogScope scope_of(const std::vector<TripFinding>& findings);

} // namespace coolband
