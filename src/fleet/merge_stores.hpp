// SPDX-License-Identifier: Apache-2.0
// The results of shards put together: what comes out is what one run over the whole fleet would
// have had. Which store comes first, and what was put together before, makes no difference.
#pragma once

#include "fleet/run_fleet.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct MergeOptions {
  bool partial = false; ///< although shards are missing or have had fewer runs
  bool verify = false;  ///< the reports are handed over: they must be what was written
};

class StoreMerge {
 public:
  /// Errors: input (a store cannot be read, or its run is not over), usage (stores that do not
  /// belong together, a shard twice, shards that are missing).
  static Result<StoreMerge> open(const std::vector<std::string>& folders,
                                 const MergeOptions& options);

  [[nodiscard]] const RunManifest& manifest() const { return manifest_; }
  /// What the user should know though the work can be done.
  [[nodiscard]] const std::vector<std::string>& remarks() const { return remarks_; }

  /// Hands over every vehicle by the bytes of its id; once. Error (kind input): results that are
  /// damaged or gone.
  std::optional<Error> for_each(const TakeResult& take);

 private:
  struct Source {
    CompletedStore store;
    std::optional<ListedVehicle> next;
  };

  StoreMerge(std::vector<Source> sources, RunManifest manifest, const MergeOptions& options)
      : sources_(std::move(sources)), manifest_(std::move(manifest)), options_(options) {}

  [[nodiscard]] std::optional<Error> check_complete();
  std::optional<Error> advance(std::size_t source);
  [[nodiscard]] Result<VehicleResult> result_of(const Source& source) const;

  std::vector<Source> sources_;
  RunManifest manifest_;
  MergeOptions options_;
  std::vector<std::string> remarks_;
};

/// Puts a vehicle's results into a store.
std::optional<Error> copy_to_store(const Store& store, const VehicleResult& result);

} // namespace coolband
