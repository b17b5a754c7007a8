// SPDX-License-Identifier: Apache-2.0
// Reading the named logs one by one, so that a bad one harms no other.
#pragma once

#include "cli/options.hpp"
#include "coolband/import/recording.hpp"

#include <functional>

namespace coolband::cli {

/// Reads every log in turn and hands each Recording to `use`. A log that cannot be read is
/// complained of and passed over. Returns the exit code: done, input, or usage when the
/// options themselves do not fit (which ends the run).
/// `vehicle`: whose logs they are said to be, where that is known. A log that names another gets a
/// warning among its notes.
int for_each_log(const CommonOptions& options, const std::string& vehicle,
                 const std::function<void(Recording&)>& use);

} // namespace coolband::cli
