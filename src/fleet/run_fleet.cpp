// SPDX-License-Identifier: Apache-2.0
// All vehicles of a fleet, on several cores.
#include "fleet/run_fleet.hpp"

#include <algorithm>
#include <condition_variable>
#include <exception>
#include <map>
#include <mutex>
#include <new>
#include <thread>
#include <vector>

#include <malloc.h>

namespace coolband {

namespace {

/// Finished vehicles that may wait for their turn, per worker.
constexpr std::size_t k_waiting_per_job = 4;

class FleetRun {
 public:
  FleetRun(const FleetPlan& plan, const FleetSettings& settings, const Store* store,
           const RunOptions& options, FleetProgress& progress, const TakeResult& take)
      : plan_(plan), settings_(settings), store_(store), options_(options), progress_(progress),
        take_(take) {}

  std::optional<Error> run() {
    std::vector<std::thread> workers;
    const std::size_t jobs = std::min(options_.jobs, std::max<std::size_t>(count(), 1));
    for (std::size_t i = 1; i < jobs; ++i) workers.emplace_back([this] { work(); });
    work();
    for (std::thread& worker : workers) worker.join();
    return error_;
  }

 private:
  [[nodiscard]] std::size_t count() const { return plan_.vehicles.size(); }

  void work() {
    while (const auto vehicle = next_vehicle()) {
      Result<VehicleResult> result = judged(*vehicle);
      const std::lock_guard lock(mutex_);
      if (!result)
        stop(result.error());
      else
        hand_in(*vehicle, std::move(*result));
      changed_.notify_all();
    }
  }

  /// Waits while it would run too far ahead.
  std::optional<std::size_t> next_vehicle() {
    std::unique_lock lock(mutex_);
    const std::size_t ahead = k_waiting_per_job * options_.jobs;
    changed_.wait(lock, [&] {
      return error_ || begun_ >= count() || !options_.ordered || begun_ < handed_over_ + ahead;
    });
    if (error_ || begun_ >= count()) return std::nullopt;
    return begun_++;
  }

  Result<VehicleResult> judged(std::size_t vehicle) {
    std::string why;
    try {
      return judge_vehicle(plan_, vehicle, settings_, store_);
    } catch (const std::bad_alloc&) {
      why = "out of memory";
    } catch (const std::exception& error) {
      why = std::string("internal error: ") + error.what();
    }
    return VehicleResult{failed_vehicle(plan_.id_of(vehicle), why), false, 0, Spool(), {}};
  }

  void hand_in(std::size_t vehicle, VehicleResult result) {
    if (error_) return;
    if (!options_.ordered) return hand_over(result);
    waiting_.emplace(vehicle, std::move(result));
    while (!error_ && !waiting_.empty() && waiting_.begin()->first == handed_over_) {
      hand_over(waiting_.begin()->second);
      waiting_.erase(waiting_.begin());
    }
  }

  void hand_over(const VehicleResult& result) {
    const VehicleRecord& record = result.record;
    ++handed_over_;
    ++progress_.vehicles;
    progress_.trips += record.trip_count();
    progress_.judged += result.judged;
    progress_.findings += record.state.action != Action::none ? 1U : 0U;
    progress_.problems += record.problem_count();
    if (auto error = take_(result)) stop(*error);
  }

  void stop(const Error& error) {
    if (!error_) error_ = error;
  }

  const FleetPlan& plan_;
  const FleetSettings& settings_;
  const Store* store_;
  const RunOptions& options_;
  FleetProgress& progress_;
  const TakeResult& take_;

  std::mutex mutex_;
  std::condition_variable changed_;
  std::size_t begun_ = 0;
  std::size_t handed_over_ = 0;
  std::map<std::size_t, VehicleResult> waiting_;
  std::optional<Error> error_;
};

} // namespace

std::optional<Error> run_fleet(const FleetPlan& plan, const FleetSettings& settings,
                               const Store* store, const RunOptions& options,
                               FleetProgress& progress, const TakeResult& take) {
#ifdef __GLIBC__
  // Every worker's own arena keeps what it once had; what is large goes back at once.
  mallopt(M_MMAP_THRESHOLD, 1 << 20);
  mallopt(M_TRIM_THRESHOLD, 2 << 20);
#endif
  return FleetRun(plan, settings, store, options, progress, take).run();
}

} // namespace coolband
