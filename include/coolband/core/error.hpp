// SPDX-License-Identifier: Apache-2.0
// What went wrong, where, and what to do about it. Errors are values; only `cli` prints them.
#pragma once

#include <cstddef>
#include <string>

namespace coolband {

/// Who has to act. `cli` maps each kind to one exit code.
enum class ErrorKind {
  usage,    ///< wrong option, argument or configuration: exit 2
  input,    ///< an input could not be read or used: exit 3
  output,   ///< a result could not be written: exit 4
  internal, ///< a defect of coolband itself: exit 5
};

/// A place in an input. Lines and columns count from 1; 0 means "not known".
/// `column` counts bytes of the line, so that a caret can be set under `Error::excerpt`.
struct Origin {
  std::string file;
  std::size_t line = 0;
  std::size_t column = 0;
};

struct Error {
  ErrorKind kind = ErrorKind::internal;
  Origin origin;
  std::string message; ///< one line, lower case, no full stop
  std::string excerpt; ///< the offending line, when quoting it helps; else empty
  std::string remedy;  ///< what the user can do; may be empty
};

/// "FILE:LINE:COLUMN: message", then the excerpt cut to 72 columns with a caret under
/// `origin.column`, then the remedy, each on its own line. Ends without a newline.
/// Characters that steer a terminal are replaced, so the text is safe on one.
std::string describe(const Error& error);

/// `text` with every byte that is no UTF-8, or steers a terminal or the order of the text, replaced
/// by '?' (tab by a space), so that places in it stay what they are.
std::string printable(std::string text);

} // namespace coolband
