// SPDX-License-Identifier: Apache-2.0
// Reading `coolband.scenario/1`: one drive to be simulated.
#pragma once

#include "circuit/scenario.hpp"
#include "coolband/core/result.hpp"
#include "coolband/core/timestamp.hpp"

#include <optional>
#include <string>

namespace coolband::cli {

struct ScenarioFile {
  Scenario scenario;
  std::optional<Clock> clock; ///< of the first row, as local time; none: seconds from 0
};

/// Reads a scenario; "-" is standard input. Errors (kind usage: a scenario is configuration) name
/// file, line, column and field: not JSON, another or a newer schema, a field that is unknown,
/// stands twice, has the wrong type, or is out of range.
Result<ScenarioFile> read_scenario(const std::string& path);
Result<ScenarioFile> parse_scenario(const std::string& text, const std::string& name);

} // namespace coolband::cli
