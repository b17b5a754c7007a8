// SPDX-License-Identifier: Apache-2.0
// The outputs of `fleet` and `merge`: from vehicles one by one to every form that was asked for.
#pragma once

#include "cli/fleet_options.hpp"
#include "fleet/fleet_summary.hpp"
#include "fleet/run_fleet.hpp"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace coolband::cli {

/// Hands every vehicle to `take`, once, in the order of the output.
using Feed = std::function<std::optional<Error>(const TakeResult& take)>;

/// One more file, gathered while vehicles come, written when all are there.
struct AlsoFile {
  std::string path;
  std::string form;
  Spool text; ///< of trips
};

struct FleetOutput {
  const FleetOptions& options;
  FleetSummary summary;
  bool has_store = false; ///< changes are told
  std::vector<AlsoFile> also;
};

/// `folder` is where text is put aside; empty: a temporary folder.
FleetOutput fleet_output(const FleetOptions& options, FleetSummary summary, bool has_store,
                         const std::string& folder);

/// The main output. Takes the vehicles, once.
std::optional<Error> write_main(FleetOutput& output, const Feed& feed);
/// The files of --also, after it.
std::optional<Error> write_also(const FleetOutput& output);

/// Adds a vehicle's line to the list that a store keeps of a run.
std::optional<Error> list_vehicle(Spool& list, const VehicleResult& result);

/// Problems on standard error, where trips took standard output.
void tell_problems(const FleetOutput& output);
/// Of a run in which nothing failed.
int exit_code_of(const FleetOutput& output);

/// No output may be there already, or be an input.
std::optional<Error> check_targets(const FleetOptions& options);

} // namespace coolband::cli
