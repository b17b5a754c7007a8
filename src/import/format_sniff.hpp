// SPDX-License-Identifier: Apache-2.0
// Tells what kind of file this is from its first bytes, never from its name.
#pragma once

#include "coolband/core/result.hpp"
#include "import/input_buffer.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace coolband {

enum class LogFormat { csv, json };

/// Reads the first 64 KiB into the buffer's window, more (up to the limit of a record) while that
/// is less than eight lines, and takes off a UTF-8 byte order mark.
std::string_view load_sample(InputBuffer& input);

/// What the file is by its first bytes, and the remedy, when that is no log text whatever follows.
std::optional<Error> other_than_text(std::string_view sample, const std::string& name);

/// Errors (kind input) name what the file is when it is no log text, and the remedy.
Result<LogFormat> sniff_format(std::string_view sample, const std::string& name);

} // namespace coolband
