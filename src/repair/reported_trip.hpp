// SPDX-License-Identifier: Apache-2.0
// What a job plan needs of a trip's report, and which of several trips it is made for.
#pragma once

#include "coolband/band/vehicle_profile.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "coolband/repair/advice.hpp"
#include "repair/missed_fault.hpp"
#include "repair/situation.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct RankedCause {
  Condition condition = Condition::normal;
  double probability = 0.0;
};

struct ReportedTrip {
  std::string vehicle_id; ///< empty when the report knows none
  std::string source;     ///< the log
  std::string start;      ///< empty when the clock has no date
  Condition condition = Condition::undetermined;
  double confidence = 0.0;
  Action action = Action::none;
  std::string headline;
  std::vector<std::string> limits; ///< what could not be known
  std::vector<RankedCause> causes; ///< most probable first; may be empty
  bool band_learned = false;
  std::optional<double> band_opens_c;
  std::optional<double> normal_to_c; ///< upper limit of the band, °C
  std::optional<double> boils_c;     ///< °C
  std::vector<std::string> roles;    ///< columns that the log had, by role
  /// Where the fault showed most; none without an unexplained episode.
  std::optional<Situation> situation;
  JobCard job;
  std::optional<VehicleProfile> profile; ///< as the report carries it
};

/// The one that calls for most, of one vehicle or (empty) of all: by action, then by confidence; of
/// equals the first. None where there is no trip.
std::optional<std::size_t> worst_trip(const std::vector<ReportedTrip>& trips,
                                      const std::string& vehicle = {});

/// How many of the trips of one vehicle could show a fault, and how many did: trips of the vehicle
/// of `trip`; those that were undetermined could not show it. What `trip` itself was found to be is
/// how the fault shows, also where the checks found another cause behind it.
ShowingRate showing_of(const std::vector<ReportedTrip>& trips, const ReportedTrip& trip,
                       Condition fault);

/// Other trips that call for `service` or `stop`, counting from 0.
std::vector<std::size_t> other_alarms(const std::vector<ReportedTrip>& trips, std::size_t chosen);

} // namespace coolband
