// SPDX-License-Identifier: Apache-2.0
// What to say when the command line does not parse.
#pragma once

#include <string>

#include <CLI/CLI.hpp>

namespace coolband::cli {

/// The parser's message in our form: lower case, one line, no full stop.
std::string one_line(const CLI::App& program, const CLI::ParseError& error);

/// "did you mean '--format'?" where a word is near a known one, which command an option belongs to,
/// how an option is written, or else where to read on.
std::string remedy_for(const CLI::App& program, const CLI::ParseError& error);

/// Prints help or version to standard output; the exit code.
int exit_after(const std::string& text);

} // namespace coolband::cli
