// SPDX-License-Identifier: Apache-2.0
// What a fleet's runs keep on disk, so that a run does only what is new and may be killed at any
// moment: one file a vehicle, replaced whole or not at all. The layout is told in docs/fleet.md.
#pragma once

#include "fleet/run_manifest.hpp"
#include "fleet/small_file.hpp"
#include "fleet/spool.hpp"
#include "fleet/vehicle_record.hpp"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>

namespace coolband {

/// A vehicle's file: its reports line by line, its record, and a trailer with their fingerprints.
struct StoredVehicle {
  VehicleRecord record;
  OwnedFile file;
  std::size_t reports_size = 0; ///< bytes of reports, from the file's beginning
  std::uint64_t reports_hash = 0;

  /// The reports are what was written.
  [[nodiscard]] bool reports_whole() const;
  [[nodiscard]] std::optional<Error> copy_reports(const TextSink& sink) const;
};

class Store {
 public:
  /// Makes the folder where it is not there, takes the lock, and cleans up after killed runs. With
  /// `wait` it waits for another run to end. Errors: output (cannot be written, in use), usage (a
  /// store of another version).
  static Result<Store> open(const std::string& folder, bool wait);

  /// Number of the run that is under way: one more than that of the last one that was completed.
  [[nodiscard]] std::size_t run() const { return run_; }
  [[nodiscard]] const std::string& folder() const { return folder_; }
  /// Where bands go when no other folder is named.
  [[nodiscard]] std::string bands() const { return folder_ + "/bands"; }

  /// None where nothing (or nothing whole) is stored of the vehicle.
  [[nodiscard]] std::optional<StoredVehicle> read(const std::string& id) const;
  [[nodiscard]] std::string path_of(const std::string& id) const;
  /// Begins the vehicle's new file; `finish_vehicle` completes it.
  Result<PendingFile> begin_vehicle(const std::string& id) const;

  /// The share of the fleet that earlier runs judged; none in a new store.
  [[nodiscard]] const std::optional<Shards>& shards() const { return shards_; }

  /// From now on, and until it is completed, a run is under way.
  std::optional<Error> begin_run(const Shards& shards) const;
  /// Everything was done and handed over: the next run counts as a new one. `vehicles` holds a line
  /// of each vehicle.
  std::optional<Error> complete(const RunManifest& manifest, const Spool& vehicles) const;

 private:
  Store(std::string folder, OwnedFile lock) : folder_(std::move(folder)), lock_(std::move(lock)) {}

  std::string folder_;
  OwnedFile lock_;
  std::size_t run_ = 1;
  std::optional<Shards> shards_;
};

/// A store that is only read; no run can begin in it meanwhile.
struct CompletedStore {
  std::string folder;
  OwnedFile lock;
  ManifestReader list;
};
/// Errors (kind input): no store, or its run is at work or was not completed.
Result<CompletedStore> open_completed(const std::string& folder);

/// Where the results of a vehicle lie in a store.
std::string vehicle_path(const std::string& folder, const std::string& id);

/// Writes record and trailer behind the reports, whose size and fingerprint are given.
std::optional<Error> finish_vehicle(PendingFile& file, const VehicleRecord& record,
                                    std::size_t reports_size, std::uint64_t reports_hash);

/// Hands a vehicle's reports to a sink, piece by piece.
using CopyReports = std::function<std::optional<Error>(const TextSink& sink)>;
/// Puts a vehicle into the store: its reports, then its record.
std::optional<Error> put_vehicle(const Store& store, const VehicleRecord& record,
                                 const CopyReports& reports);

/// Reads a vehicle's file; none where it is not whole.
std::optional<StoredVehicle> read_vehicle_file(const std::string& path);

} // namespace coolband
