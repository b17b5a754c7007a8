// SPDX-License-Identifier: Apache-2.0
// The fields of a job card, from a file or one by one: what a workshop writes at the head of its
// own papers, carried into every report.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/report/report.hpp"

#include <string>
#include <vector>

#include <CLI/CLI.hpp>

namespace coolband::cli {

inline constexpr std::size_t k_most_job_fields = 40;
inline constexpr std::size_t k_longest_job_text = 2000; ///< bytes

/// Each of `given` is KEY=VALUE, or a file that holds a JSON object of texts and numbers. What
/// stands as KEY=VALUE replaces what a file says. `odometer_km` is a number from 0 to 10 million,
/// `date` begins with YYYY-MM-DD, every other KEY=VALUE is a text. Errors (kind usage) name file,
/// line, column and key.
Result<JobCard> job_card(const std::vector<std::string>& given);

/// --job, as every command with a report has it.
void add_job_card_option(CLI::App& command, std::vector<std::string>& given);

/// The text of an entry in the history, with the number of the job, if it has one.
std::string for_job(const std::string& text, const JobCard& job);

/// The files among `given`.
std::vector<std::string> job_files(const std::vector<std::string>& given);

} // namespace coolband::cli
