// SPDX-License-Identifier: Apache-2.0
// What the terminal can do, and the one place that writes to standard error.
#pragma once

#include "coolband/core/error.hpp"
#include "coolband/report/report.hpp"

#include <string>
#include <string_view>

namespace coolband::cli {

/// The text as it is, on standard error. What cannot be written there is lost, and nothing else.
void tell(std::string_view text);

/// "coolband: " and the error, on standard error.
void complain(const Error& error);

/// A remark on standard error (not an error).
void remark(const std::string& text);

/// Of this process so far, MiB.
double peak_memory_mib();

bool input_is_terminal();

/// Width of the terminal (80 when there is none, at most 120), colour by `--color`, NO_COLOR (set
/// and not empty) and TERM; plain characters on a terminal whose locale is not UTF-8. `to_file` is
/// true when the text does not go to standard output.
TextStyle style_for(const std::string& color, bool to_file);

} // namespace coolband::cli
