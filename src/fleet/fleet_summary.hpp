// SPDX-License-Identifier: Apache-2.0
// What there is to say of a fleet as a whole, from the records of its vehicles in any order: counts
// and a ranking. Two summaries of different vehicles can be put together, in any order.
#pragma once

#include "fleet/spool.hpp"
#include "fleet/vehicle_record.hpp"

#include <array>
#include <cstddef>
#include <functional>
#include <string>
#include <vector>

namespace coolband {

inline constexpr std::size_t k_action_count = 4;

/// How a vehicle's state compares with what it was after the run before.
enum class Change : std::uint8_t { none, first_seen, worse, better, other };
std::string_view name_of(Change change);
/// `run`: the present one; a record of an earlier run has not changed. 0: there is no store.
Change change_of(const VehicleRecord& vehicle, std::size_t run);

struct FleetCounts {
  std::size_t vehicles = 0;
  std::size_t logs = 0;
  std::size_t logs_unused = 0; ///< those with a problem
  std::size_t trips = 0;
  std::size_t rows_set_aside = 0;
  std::size_t passed_over = 0; ///< files whose names are no log's
  std::size_t problems = 0;
  std::size_t judged = 0;                              ///< trips judged in this run
  std::array<std::size_t, k_action_count> by_action{}; ///< vehicles with a judged trip, by Action
  std::size_t not_judged = 0;                          ///< vehicles without one
  std::array<std::size_t, 3> by_band{};                ///< vehicles by BandSource
  std::array<std::size_t, 5> by_change{};              ///< vehicles by Change

  void add(const FleetCounts& other);
};

/// Ranks vehicles and keeps their records aside, so that memory holds some bytes a vehicle only.
class FleetSummary {
 public:
  explicit FleetSummary(std::size_t run, std::string folder = {})
      : run_(run), records_(std::move(folder)) {}

  /// A vehicle without any log is none.
  std::optional<Error> add(const VehicleRecord& vehicle, std::size_t judged);
  void add_problems(const std::vector<Problem>& problems, std::size_t passed_over);

  [[nodiscard]] const FleetCounts& counts() const { return counts_; }
  [[nodiscard]] const std::vector<Problem>& problems() const { return problems_; }
  [[nodiscard]] std::size_t run() const { return run_; }

  /// From the gravest to the least grave (docs/fleet.md), until `use` says false.
  using UseRecord = std::function<bool(const VehicleRecord&)>;
  std::optional<Error> for_each_ranked(const UseRecord& use) const;

 private:
  struct Rank {
    Action action = Action::none;
    bool judged = false;
    float confidence = 0.0F;
    float margin_c = 0.0F;
    std::uint32_t length = 0;
    std::uint64_t offset = 0;
    std::string id;
  };
  static bool graver(const Rank& a, const Rank& b);
  [[nodiscard]] std::vector<const Rank*> ranked() const;

  std::size_t run_;
  FleetCounts counts_;
  std::vector<Problem> problems_; ///< of no vehicle
  std::vector<Rank> ranks_;
  Spool records_;
};

} // namespace coolband
