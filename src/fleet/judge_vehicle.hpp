// SPDX-License-Identifier: Apache-2.0
// One vehicle of a fleet, the unit of work: its logs, band and profile in, its record and reports
// out. What comes out depends on nothing but these (and what was stored of it), so vehicles can be
// judged in any order, on any number of cores or machines.
#pragma once

#include "fleet/find_logs.hpp"
#include "fleet/fleet_settings.hpp"
#include "fleet/spool.hpp"
#include "fleet/store.hpp"

#include <optional>
#include <string>

namespace coolband {

struct VehicleResult {
  VehicleRecord record;
  bool unchanged = false;   ///< what was stored holds
  std::size_t judged = 0;   ///< trips judged anew
  Spool reports;            ///< one line a trip, by log; of a stored vehicle in its file instead
  std::string results_path; ///< that file

  /// Copies the reports, one line a trip, in the order of logs.
  [[nodiscard]] std::optional<Error> copy_reports(const TextSink& sink) const;
};

/// Fingerprint of version and options that the results depend on (not `recent`, which only says how
/// a vehicle stands).
std::string judged_by(const FleetSettings& settings, bool by_column);

/// `store` may be null. Errors (kind output) end the run: a band, a page or the results could not
/// be written. Whatever is wrong with logs, band or profile is told in the record.
Result<VehicleResult> judge_vehicle(const FleetPlan& plan, std::size_t vehicle,
                                    const FleetSettings& settings, const Store* store);

/// The record of a vehicle whose judgement failed as a whole.
VehicleRecord failed_vehicle(const std::string& id, const std::string& why);

} // namespace coolband
