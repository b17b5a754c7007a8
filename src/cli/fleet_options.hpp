// SPDX-License-Identifier: Apache-2.0
// Options of `coolband fleet`, and what they mean to the fleet.
#pragma once

#include "cli/options.hpp"
#include "fleet/find_logs.hpp"
#include "fleet/fleet_settings.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace coolband::cli {

struct FleetOptions {
  CommonOptions common; ///< `logs` are folders, logs, patterns, or "-" for a list
  std::string list;
  std::string vehicle_by = "folder";
  std::string vehicle_pattern;
  bool any_name = false;
  std::string bands;
  bool no_learn = false;
  bool relearn = false;
  std::string shard; ///< K/N
  bool partial = false;
  std::string store;
  bool wait = false;
  bool rehash = false;
  bool ordered = false;
  std::size_t jobs = 0;
  std::size_t recent = k_recent_trips;
  std::size_t top = 20;
  std::string pages;
  std::string pages_for = "findings";
  std::string fail_on;
  std::vector<std::string> also;
};

/// What the ending of a name says: "html" of "fleet.html"; "text" of ".txt". Empty: none of ours.
std::string form_of_name(const std::string& file);
/// The run writes reports line by line somewhere.
bool wants_reports(const FleetOptions& options);

void add_fleet_options(CLI::App& app, FleetOptions& options);

/// Of `coolband merge`, whose `logs` are stores.
void add_merge_options(CLI::App& app, FleetOptions& options);

/// Errors are of kind usage.
std::optional<Error> check_merge_options(const FleetOptions& options);
std::optional<Error> check_fleet_options(const FleetOptions& options);
/// Reads the list, too.
Result<FleetInputs> fleet_inputs(const FleetOptions& options);
Result<FleetSettings> fleet_settings(const FleetOptions& options);

} // namespace coolband::cli
