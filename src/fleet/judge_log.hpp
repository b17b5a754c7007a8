// SPDX-License-Identifier: Apache-2.0
// One log of a fleet: its trips judged, each as its report's line, its record and maybe its page.
#pragma once

#include "coolband/analyse.hpp"
#include "fleet/log_work.hpp"
#include "fleet/spool.hpp"

#include <optional>
#include <string>

namespace coolband {

/// By what a vehicle's logs are judged.
struct Judged {
  const std::string& vehicle;
  const GivenBand& given;
  const std::optional<VehicleProfile>& profile;
};

/// Judges every trip of the log that is the vehicle's. What cannot be judged is among the record's
/// problems. Error (kind output) where reports or pages cannot be put away.
std::optional<Error> judge_log(LogShelf& shelf, const FleetSettings& settings, const Judged& by,
                               LogWork& work, Spool& reports);

/// The trip's page, below the folder of pages.
std::string page_path(const std::string& vehicle, const std::string& log, std::size_t trip);
/// The settings call for a page of such a trip.
bool wants_page(const FleetSettings& settings, const TripRecord& trip);

} // namespace coolband
