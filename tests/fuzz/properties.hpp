// SPDX-License-Identifier: Apache-2.0
// What must hold for any bytes at all; the fuzz targets and the replay of their corpus share it.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/import/recording.hpp"

#include <cstddef>
#include <string>
#include <string_view>

namespace coolband::testing {

/// Throws std::runtime_error with `what` unless `holds`: a fuzzer takes that for a crash, the
/// replay for a failure.
void require(bool holds, const std::string& what);

/// What a Recording promises by itself, and what an Error does. `lines`: no more lines are in the
/// input; 0 for not known.
void check_result(const Result<Recording>& result, std::size_t lines);

/// What any Error promises: it says what was wrong, blames no defect, and is safe on a terminal.
void check_error(const Error& error);

/// Everything that came of an import, as text in which each number is exact.
std::string story_of(const Result<Recording>& result);

/// The same bytes in pieces of any size give `whole` again.
void check_pieces(std::string_view bytes, const Result<Recording>& whole);

/// Line ends of any kind, and one.
std::size_t most_lines(std::string_view text);

/// Runs the target of that name, the folder of its corpus. False if there is none.
bool run_target(std::string_view target, std::string_view bytes);

// The targets, each for any bytes; they throw like require().
void run_csv(std::string_view bytes);
void run_json(std::string_view bytes);
void run_time(std::string_view bytes);
void run_frames(std::string_view bytes);
void run_bytes(std::string_view bytes);
void run_band(std::string_view bytes);
void run_profile(std::string_view bytes);
void run_scenario(std::string_view bytes);
void run_report(std::string_view bytes);

} // namespace coolband::testing
