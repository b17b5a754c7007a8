// SPDX-License-Identifier: Apache-2.0
// From folders, patterns and lists to vehicles with their logs.
#pragma once

#include "coolband/import/import_log.hpp"
#include "fleet/vehicle_record.hpp"

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace coolband {

/// How a log is assigned to its vehicle.
enum class VehicleBy : std::uint8_t {
  folder,  ///< the folder right below the one that was named; for a file its own folder
  pattern, ///< what the group of a regular expression finds in the path
  column,  ///< the log's own column; a log may hold several vehicles
};

struct FleetInputs {
  std::vector<std::string> paths; ///< folders, files, patterns with * ? [
  VehicleBy by = VehicleBy::folder;
  std::string pattern;   ///< ECMAScript, with one group
  bool any_name = false; ///< in folders also files whose names are no log's
  ImportOptions import;  ///< for VehicleBy::column, which has to read the logs
};

/// Where logs of a vehicle are: a folder or one log.
struct Place {
  std::string vehicle;
  std::string path; ///< empty: the vehicle's folder in `root`
  std::uint32_t root = 0;
  bool folder = false;
};

/// Vehicles by id, each a run of places. It holds names only, no logs of vehicles by folder: those
/// are looked for when the vehicle's turn comes.
struct FleetPlan {
  std::vector<std::string> roots;
  std::vector<Place> places;           ///< by vehicle
  std::vector<std::uint32_t> vehicles; ///< index of each vehicle's first place
  std::vector<Problem> problems;       ///< of no vehicle; sorted
  std::vector<std::string> remarks;    ///< what may not be as it was meant
  std::size_t passed_over = 0;
  bool by_column = false;
  bool any_name = false;

  [[nodiscard]] std::span<const Place> places_of(std::size_t vehicle) const;
  [[nodiscard]] const std::string& id_of(std::size_t vehicle) const {
    return places[vehicles[vehicle]].vehicle;
  }
  [[nodiscard]] std::string path_of(const Place& place) const;
};

/// The order in which problems of no vehicle are told: by path, line and words.
bool problem_before(const Problem& a, const Problem& b);

/// Error (kind usage): a pattern that cannot be used. What cannot be read is among the problems.
Result<FleetPlan> plan_fleet(const FleetInputs& inputs);

/// The paths in a list: one a line, or NUL between them where there is any.
std::vector<std::string> paths_in(std::string_view list);

struct FoundLogs {
  std::vector<std::string> logs; ///< sorted, each file once
  std::vector<Problem> problems;
  std::size_t passed_over = 0;
};
FoundLogs logs_of(const FleetPlan& plan, std::size_t vehicle);

} // namespace coolband
