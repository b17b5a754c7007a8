// SPDX-License-Identifier: Apache-2.0
// Which vehicles of a fleet creep, and which are odd among their like.
#include "fleet/outlook.hpp"

#include "fleet/trend_json.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace coolband {

namespace {

std::vector<TripMeasures> kept_trips(const VehicleRecord& vehicle) {
  std::vector<TripMeasures> trips;
  for (const LogRecord& log : vehicle.logs) {
    for (const TripRecord& trip : log.trips) {
      // What cannot be read is another version's, and its record's key is another one: it does not
      // outlive the run.
      auto measures = parse_trip_measures(trip.measures, log.path);
      if (measures) trips.push_back(std::move(*measures));
    }
  }
  keep_latest(trips);
  return trips;
}

bool has_any(const std::array<std::optional<double>, k_likenesses>& levels) {
  return std::any_of(levels.begin(), levels.end(),
                     [](const std::optional<double>& level) { return level.has_value(); });
}

} // namespace

VehicleCourse course_of(const VehicleRecord& vehicle, std::string group,
                        std::vector<std::string> services) {
  VehicleCourse course{std::move(group), std::move(services), {}, {}};
  const std::vector<TripMeasures> trips = kept_trips(vehicle);
  const double p = trend_of(trips, {course.services}).p;
  if (!std::isnan(p)) course.trend_p = p;
  course.levels = sibling_levels(vehicle.id, course.group, trips).levels;
  return course;
}

Action todo_of(const VehicleRecord& vehicle, const Outlook& outlook) {
  return outlook.listed() ? std::max(vehicle.state.action, Action::monitor) : vehicle.state.action;
}

bool FleetCourses::may_creep(const VehicleCourse& course) {
  // Adjusted over the fleet, no chance gets smaller.
  return course.trend_p && *course.trend_p <= k_false_share;
}

void FleetCourses::add(const VehicleCourse& course) {
  const auto vehicle = static_cast<std::uint32_t>(trend_p_.size());
  trend_p_.push_back(course.trend_p.value_or(std::numeric_limits<double>::quiet_NaN()));
  if (course.group.empty() || !has_any(course.levels)) return;
  // A group made of a whole profile is long, and its name tells nothing.
  const std::size_t group = groups_.emplace(course.group, groups_.size()).first->second;
  levels_.push_back({{}, std::to_string(group), course.levels});
  owners_.push_back(vehicle);
}

void FleetCourses::compare() {
  const FleetFinding trends = fleet_trends(trend_p_);
  trend_level_ = trends.level;
  counts_.creeping = trends.found.size();
  counts_.charted = static_cast<std::size_t>(
      std::count_if(trend_p_.begin(), trend_p_.end(), [](double p) { return !std::isnan(p); }));
  compare_siblings();
}

void FleetCourses::compare_siblings() {
  std::vector<AmongSiblings> among = among_siblings(levels_);
  const FleetFinding finding = odd_siblings(among);
  sibling_level_ = finding.level;
  counts_.odd = finding.found.size();
  counts_.compared = static_cast<std::size_t>(std::count_if(
      among.begin(), among.end(), [](const AmongSiblings& one) { return !std::isnan(one.p); }));
  for (const std::size_t i : finding.found) odd_.emplace(owners_[i], std::move(among[i]));
  levels_ = {};
  owners_ = {};
  groups_ = {};
}

bool FleetCourses::creeps(std::size_t vehicle) const {
  return counts_.creeping > 0 && trend_p_[vehicle] <= trend_level_;
}

bool FleetCourses::listed(std::size_t vehicle) const {
  return creeps(vehicle) || odd_.contains(vehicle);
}

double FleetCourses::chance_of(std::size_t vehicle) const {
  double chance = creeps(vehicle) ? trend_p_[vehicle] : 1.0;
  if (const auto odd = odd_.find(vehicle); odd != odd_.end())
    chance = std::min(chance, odd->second.p);
  return chance;
}

Outlook FleetCourses::outlook_of(std::size_t vehicle, const VehicleRecord& record) const {
  Outlook outlook;
  if (creeps(vehicle)) {
    outlook.trend = trend_of(kept_trips(record), {record.course.services});
    outlook.creeping = believed(*outlook.trend, trend_level_);
  }
  if (const auto odd = odd_.find(vehicle); odd != odd_.end()) {
    outlook.siblings = odd->second;
    outlook.distances = believed(odd->second, sibling_level_);
  }
  return outlook;
}

} // namespace coolband
