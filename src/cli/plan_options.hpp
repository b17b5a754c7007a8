// SPDX-License-Identifier: Apache-2.0
// What a user says of a job: prices, lives of parts, coolant, odds.
#pragma once

#include "coolband/core/result.hpp"
#include "repair/plan.hpp"

#include <optional>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

namespace coolband::cli {

/// As typed.
struct JobWords {
  std::optional<std::size_t> trip; ///< counting from 1
  std::string confirmed;
  std::vector<std::string> prices; ///< PART=AMOUNT
  std::string price_file;
  std::vector<std::string> lives; ///< PART=KM:SHAPE[:FITTED_KM]
  std::string life_file;
  std::optional<double> hours, next_km, odometer_km, shows_pct, miss_pct;
  std::optional<std::string> capacity, drained, concentration, target, product;
};

void add_job_options(CLI::App& app, JobWords& words);

/// Errors (kind usage) name the option, or file, place and key: an unknown part, a number that is
/// none or out of range.
Result<JobOptions> job_options(const JobWords& words);

} // namespace coolband::cli
