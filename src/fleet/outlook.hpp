// SPDX-License-Identifier: Apache-2.0
// Which vehicles of a fleet creep, and which are odd among their like: the courses of all vehicles
// first, then what there is to say of the few that are listed. Nothing depends on their order.
#pragma once

#include "fleet/vehicle_record.hpp"

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

/// From the measures that the record keeps of its trips.
VehicleCourse course_of(const VehicleRecord& vehicle, std::string group,
                        std::vector<std::string> services);

/// What the fleet makes believe of one vehicle.
struct Outlook {
  std::optional<VehicleTrend> trend;      ///< none: it is not listed as creeping
  std::vector<Measure> creeping;          ///< the measures to believe, the surest first
  std::optional<AmongSiblings> siblings;  ///< none: it is not listed as odd
  std::vector<SiblingDistance> distances; ///< those to believe, the surest first

  [[nodiscard]] bool listed() const { return trend.has_value() || siblings.has_value(); }
};
/// A listed vehicle is to be watched at least, whatever its latest trips say.
Action todo_of(const VehicleRecord& vehicle, const Outlook& outlook);

struct OutlookCounts {
  std::size_t charted = 0;  ///< vehicles with a chart
  std::size_t creeping = 0; ///< of them those listed
  std::size_t compared = 0; ///< vehicles that were held against their like
  std::size_t odd = 0;      ///< of them those listed
};

/// The courses of a fleet: until `compare` some 200 bytes a vehicle that has like ones and 8 of any
/// other, afterwards 8 of each.
class FleetCourses {
 public:
  void add(const VehicleCourse& course);
  /// Once, when all are there.
  void compare();

  [[nodiscard]] const OutlookCounts& counts() const { return counts_; }
  /// Vehicles count from 0 as they were added.
  [[nodiscard]] bool listed(std::size_t vehicle) const;
  /// Chance that a sound vehicle shows what a listed one is listed for; 1 of any other.
  [[nodiscard]] double chance_of(std::size_t vehicle) const;
  [[nodiscard]] Outlook outlook_of(std::size_t vehicle, const VehicleRecord& record) const;

  /// A trend of such a vehicle can never be listed: its trips' measures need not be kept at hand.
  [[nodiscard]] static bool may_creep(const VehicleCourse& course);

 private:
  [[nodiscard]] bool creeps(std::size_t vehicle) const;
  void compare_siblings();

  std::vector<double> trend_p_;       ///< NaN without a chart
  std::vector<SiblingLevels> levels_; ///< of vehicles that can have like ones
  std::vector<std::uint32_t> owners_; ///< whose they are
  std::map<std::string, std::size_t> groups_;
  double trend_level_ = 0.0;
  double sibling_level_ = 0.0;
  std::map<std::size_t, AmongSiblings> odd_;
  OutlookCounts counts_;
};

} // namespace coolband
