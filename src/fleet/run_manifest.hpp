// SPDX-License-Identifier: Apache-2.0
// What a completed run says of itself in its store: which share of which fleet it judged, by what,
// and of which vehicles its results consist. Stores can be put together by it, in any order.
#pragma once

#include "fleet/shard.hpp"
#include "fleet/small_file.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// The whole fleet as a run saw it when it began, its own share or not.
struct FleetSeen {
  std::size_t vehicles = 0;
  std::string hash; ///< of their ids

  auto operator<=>(const FleetSeen&) const = default;
};
FleetSeen fleet_seen(const FleetPlan& plan);

struct RunManifest {
  std::string version;   ///< of coolband
  std::string judged_by; ///< fingerprint of version and options that results depend on
  std::size_t recent = 0;
  Shards shards;
  std::vector<std::size_t> runs; ///< of the stores; several where shards had not equally many
  std::vector<FleetSeen> fleets; ///< several where not all runs saw the same vehicles
  std::vector<Problem> problems; ///< of no vehicle; sorted
  std::size_t passed_over = 0;   ///< files in no vehicle's folder

  [[nodiscard]] std::size_t run() const { return runs.empty() ? 0 : runs.back(); }
};

/// Both together; associative, and the order does not matter. What was judged by other options, or
/// another split, cannot be put together: `why_not_together`.
RunManifest together(const RunManifest& a, const RunManifest& b);
/// Empty, or what differs.
std::string why_not_together(const RunManifest& a, const RunManifest& b);

/// The first line of a store's list of results, with its newline.
std::string manifest_line(const RunManifest& manifest);
/// A vehicle's line; `record` only of a vehicle whose results could not be stored.
std::string vehicle_line(std::string_view id, const std::string& record);

/// The last line.
std::string list_end();

struct ListedVehicle {
  std::string id;
  std::string record; ///< as JSON; empty: it is in the vehicle's file
};

/// Reads the list of results line by line.
class ManifestReader {
 public:
  /// Error (kind input): there is none, or it is damaged or of another version.
  static Result<ManifestReader> open(const std::string& path);

  [[nodiscard]] const RunManifest& manifest() const { return manifest_; }
  /// By the bytes of ids. None at the end. Error (kind input): it is damaged.
  Result<std::optional<ListedVehicle>> next();

 private:
  ManifestReader(std::string path, OwnedFile file)
      : path_(std::move(path)), file_(std::move(file)) {}
  std::optional<std::string> next_line();
  [[nodiscard]] Error damaged() const;

  std::string path_;
  OwnedFile file_;
  std::string ahead_;
  std::size_t at_ = 0;
  bool ended_ = false;
  RunManifest manifest_;
};

} // namespace coolband
