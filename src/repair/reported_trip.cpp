// SPDX-License-Identifier: Apache-2.0
// Which of several reported trips a job is made for, and how often they showed the fault.
#include "repair/reported_trip.hpp"

#include <tuple>

namespace coolband {

std::optional<std::size_t> worst_trip(const std::vector<ReportedTrip>& trips,
                                      const std::string& vehicle) {
  std::optional<std::size_t> worst;
  const auto weight = [&](std::size_t i) {
    return std::tuple(trips[i].action, trips[i].confidence);
  };
  for (std::size_t i = 0; i < trips.size(); ++i) {
    if (!vehicle.empty() && trips[i].vehicle_id != vehicle) continue;
    if (!worst || weight(i) > weight(*worst)) worst = i;
  }
  return worst;
}

ShowingRate showing_of(const std::vector<ReportedTrip>& trips, const ReportedTrip& trip,
                       Condition fault) {
  const bool is_finding =
      trip.condition != Condition::normal && trip.condition != Condition::undetermined;
  ShowingRate rate;
  for (const ReportedTrip& other : trips) {
    if (other.vehicle_id != trip.vehicle_id || other.condition == Condition::undetermined) continue;
    ++rate.able;
    const bool like_this = is_finding && other.condition == trip.condition;
    if (like_this || other.condition == fault) ++rate.shown;
  }
  return rate;
}

std::vector<std::size_t> other_alarms(const std::vector<ReportedTrip>& trips, std::size_t chosen) {
  std::vector<std::size_t> alarms;
  for (std::size_t i = 0; i < trips.size(); ++i) {
    if (i != chosen && trips[i].action >= Action::service) alarms.push_back(i);
  }
  return alarms;
}

} // namespace coolband
