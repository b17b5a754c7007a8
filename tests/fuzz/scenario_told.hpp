// SPDX-License-Identifier: Apache-2.0
// What a scenario file says, to be compared with what it says when written anew.
#pragma once

#include "cli/scenario_file.hpp"
#include "fuzz/file_properties.hpp"

namespace coolband::testing {

/// All that was read of the file.
Told told_of(const cli::ScenarioFile& file);

} // namespace coolband::testing
