// SPDX-License-Identifier: Apache-2.0
// A small text file as a string.
#pragma once

#include "coolband/core/result.hpp"

#include <string>

namespace coolband {

/// The whole file, up to 64 MiB. Error (kind usage, since only configuration is read this way):
/// missing, unreadable, a directory, too large.
Result<std::string> read_text_file(const std::string& path);

} // namespace coolband
