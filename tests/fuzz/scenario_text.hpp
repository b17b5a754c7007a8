// SPDX-License-Identifier: Apache-2.0
// A scenario as a file that leaves nothing to defaults.
#pragma once

#include "cli/scenario_file.hpp"
#include "fuzz/file_properties.hpp"

#include <string>

namespace coolband::testing {

/// All that was read of the file.
Told told_of(const cli::ScenarioFile& file);

/// A file that says the same, every field written out.
std::string scenario_text(const cli::ScenarioFile& file);

} // namespace coolband::testing
