// SPDX-License-Identifier: Apache-2.0
// Words of a command line that a user is told to run.
#pragma once

#include <string>
#include <string_view>

namespace coolband {

/// `text` as one word of a POSIX shell: as it is where every character stands for itself, else in
/// single quotes, so that a file's name or an id never runs as a command.
std::string shell_quoted(std::string_view text);

} // namespace coolband
