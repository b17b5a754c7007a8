// SPDX-License-Identifier: Apache-2.0
// Which of several reported trips a job is made for, and how often they showed the fault.
#include "repair/reported_trip.hpp"

#include <algorithm>
#include <tuple>

namespace coolband {

std::size_t worst_trip(const std::vector<ReportedTrip>& trips) {
  const auto worse = [](const ReportedTrip& a, const ReportedTrip& b) {
    return std::tuple(a.action, a.confidence) < std::tuple(b.action, b.confidence);
  };
  const auto worst = std::max_element(trips.begin(), trips.end(), worse);
  return static_cast<std::size_t>(worst - trips.begin());
}

Showing showing_of(const std::vector<ReportedTrip>& trips, const ReportedTrip& trip,
                   Condition fault) {
  Showing showing;
  for (const ReportedTrip& other : trips) {
    if (other.vehicle_id != trip.vehicle_id) continue;
    if (other.condition == Condition::undetermined) continue;
    ++showing.able;
    const bool like_this =
        other.condition == Condition::overheating && trip.condition == other.condition;
    if (other.condition == fault || like_this) ++showing.showed;
  }
  return showing;
}

std::vector<std::size_t> other_alarms(const std::vector<ReportedTrip>& trips, std::size_t chosen) {
  std::vector<std::size_t> alarms;
  for (std::size_t i = 0; i < trips.size(); ++i) {
    if (i != chosen && trips[i].action >= Action::service) alarms.push_back(i);
  }
  return alarms;
}

} // namespace coolband
