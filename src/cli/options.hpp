// SPDX-License-Identifier: Apache-2.0
// Options as the user gave them, and the groups that several commands share.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/band/vehicle_profile.hpp"
#include "coolband/core/result.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "coolband/import/import_log.hpp"

#include <optional>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

namespace coolband::cli {

/// What every command takes that writes a result.
struct OutputOptions {
  std::string output = "-";
  std::string format = "text";
  std::string color = "auto";
  bool overwrite = false;
  bool quiet = false;
};

/// What every command takes that reads logs.
struct CommonOptions : OutputOptions {
  std::vector<std::string> logs;
  std::vector<std::string> columns; ///< ROLE=HEADING[:UNIT]
  std::optional<double> ambient_c;
  std::optional<double> altitude_m;
  std::string profile;
  bool verbose = false;
  bool no_progress = false;
};

/// Lets a finite number in a range pass.
CLI::Validator within(double low, double high);

/// Names of the causes that a user may have found: every condition but normal.
std::vector<std::string> cause_names();
/// None for any other word.
std::optional<Condition> cause_named(const std::string& name);

/// Adds the options of a group to a command; `formats` lists what --format takes.
void add_output_options(CLI::App& command, OutputOptions& options,
                        const std::vector<std::string>& formats);
void add_profile_option(CLI::App& command, std::string& profile);
/// How logs are read: columns, constants, and (for one vehicle) its profile.
void add_reading_options(CLI::App& command, CommonOptions& options, bool with_profile = true);
/// What is told while they are read.
void add_progress_options(CLI::App& command, CommonOptions& options);
void add_common(CLI::App& command, CommonOptions& options, const std::vector<std::string>& formats);

/// Checks and completes: standard input when piped and no log is named, never a silent wait on a
/// terminal. Errors are of kind usage.
std::optional<Error> complete(CommonOptions& options);

/// Every file that the run reads; `more` are those of the command itself and may be empty.
std::vector<std::string> inputs_of(const CommonOptions& options, const std::string& more = {});

Result<ImportOptions> import_options(const CommonOptions& options);

/// The profile, if one was named.
Result<std::optional<VehicleProfile>> profile_of(const std::string& path);
Result<std::optional<VehicleProfile>> profile_of(const CommonOptions& options);
/// Where the band, read from `path`, and the profile name two vehicles.
std::optional<Error> of_another_vehicle(const NormalBand& band, const std::string& path,
                                        const std::optional<VehicleProfile>& profile);

} // namespace coolband::cli
