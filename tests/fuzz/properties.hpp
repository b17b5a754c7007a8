// SPDX-License-Identifier: Apache-2.0
// What must hold for any input whatever. Each gives the first thing that does not hold, or nothing.
#pragma once

#include <string>
#include <string_view>

namespace coolband::testing {

/// Any bytes as a log: read whole and read in drips they give the same recording or the same
/// error; rows are kept, set aside or put together, but never lost; numbers are finite or missing;
/// each row has its place in the input; time steps back only where that is told.
std::string check_import(std::string_view bytes);

/// Any text as a time: what is read is finite, and blanks around it change nothing.
std::string check_time(std::string_view text);

/// Identifier, line end, frame: values lie within their parameter's range, and the case of the
/// letters changes nothing.
std::string check_frames(std::string_view text);

/// The property of a target by its name: "csv", "json", "bytes", "time" or "frames".
std::string check_target(std::string_view target, std::string_view input);

} // namespace coolband::testing
