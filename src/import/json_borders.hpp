// SPDX-License-Identifier: Apache-2.0
// The borders of one JSON record in a text.
#pragma once

#include <cstddef>
#include <string_view>

namespace coolband {

/// White space of RFC 8259.
constexpr bool is_json_space(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; }

struct RecordEnd {
  enum class State { whole, more_needed, broken, too_deep };
  State state = State::more_needed;
  std::size_t size = 0; ///< of a whole record; else how far it makes sense
};

/// The end of the object or array at the start of `text`. A bracket, string or word in a place
/// where JSON cannot have one means that the record is broken, and so is a line end in a string.
/// Everything else is left to the parser.
RecordEnd find_record_end(std::string_view text);

/// Where the record behind a broken one may begin: at an `opener` that starts a line or follows a
/// closing bracket and a comma, or at a record separator (RFC 7464). Strings are not regarded, as
/// their quotes may be what is broken. npos if there is none.
std::size_t find_next_record(std::string_view text, char opener);

} // namespace coolband
