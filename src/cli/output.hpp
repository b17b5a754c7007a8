// SPDX-License-Identifier: Apache-2.0
// Results to standard output or, whole or not at all, to a file.
#pragma once

#include "coolband/core/error.hpp"

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband::cli {

/// To be asked before the work: an error when `path` is a file that exists and may not be replaced,
/// or that is one of `inputs`, which must never be (--overwrite or not).
std::optional<Error> check_target(const std::string& path, bool overwrite,
                                  const std::vector<std::string>& inputs);

/// The file that a symbolic link leads to, so that the link survives; else the path itself.
std::string real_target(const std::string& path);

/// An error (kind output) where a file is there that this user, or anybody, may not write to: it is
/// never replaced, though the folder would allow it.
std::optional<Error> write_protected(const std::string& path);

/// Takes the output piece by piece; false once a piece could not be written.
using Sink = std::function<bool(std::string_view)>;
using Producer = std::function<void(const Sink&)>;

/// "cannot write: No space left on device", of kind output; "-" is standard output.
Error cannot_write(const std::string& path, int why);

/// A producer that may give up: false, and no file takes the name (what was handed to standard
/// output is there). Why it gave up is its own affair: no error is made of it.
using FallibleProducer = std::function<bool(const Sink&)>;
std::optional<Error> write_output_if(const std::string& path, const FallibleProducer& produce,
                                     bool overwrite);

/// Writes all that `produce` hands over. "-" is standard output. A regular file appears complete or
/// not at all; one that is replaced keeps its mode, and its owner where that is allowed.
std::optional<Error> write_output(const std::string& path, const Producer& produce, bool overwrite);
std::optional<Error> write_output(const std::string& path, const std::string& text, bool overwrite);

/// A standard stream that the caller closed stays a stream that fails, and never becomes the next
/// file that is opened: messages would go into results.
void hold_standard_streams();

/// From now on Ctrl-C, and a terminal that is closed, removes a half-written file and exits with
/// 130; a file that becomes too large for its user's limit is an error, not the end.
void watch_for_interrupt();

} // namespace coolband::cli
