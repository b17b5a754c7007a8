// SPDX-License-Identifier: Apache-2.0
// All vehicles of a fleet, on several cores, in bounded memory.
#pragma once

#include "fleet/judge_vehicle.hpp"

#include <atomic>
#include <cstddef>
#include <functional>
#include <optional>

namespace coolband {

/// What a display may look at while the run goes on.
struct FleetProgress {
  std::atomic<std::size_t> vehicles{0}; ///< done
  std::atomic<std::size_t> trips{0};    ///< of them
  std::atomic<std::size_t> judged{0};   ///< of those, anew
  std::atomic<std::size_t> findings{0}; ///< vehicles that need something
  std::atomic<std::size_t> problems{0};
};

struct RunOptions {
  std::size_t jobs = 1;
  bool ordered = false; ///< hand over by vehicle; else as they are ready
};

/// Takes one result at a time; an error ends the run.
using TakeResult = std::function<std::optional<Error>(const VehicleResult&)>;

/// Judges every vehicle. Memory does not grow with their number: with `ordered` no worker runs
/// ahead of the oldest vehicle at work by more than a few.
std::optional<Error> run_fleet(const FleetPlan& plan, const FleetSettings& settings,
                               const Store* store, const RunOptions& options,
                               FleetProgress& progress, const TakeResult& take);

} // namespace coolband
