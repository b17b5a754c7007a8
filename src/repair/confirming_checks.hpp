// SPDX-License-Identifier: Apache-2.0
// Which physical check comes first: the one that settles most of the doubt per minute.
#pragma once

#include "repair/hazards.hpp"
#include "repair/job_facts.hpp"

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace coolband {

/// What the engine must be for a check, and what the check leaves it. `warming` starts cold and
/// ends hot.
enum class EngineState : std::uint8_t { any, cold, warming, hot };
std::string_view name_of(EngineState state);

/// A value for each cause, in the order of Condition (normal .. sensor_fault).
using CauseShares = std::array<double, k_cause_count>;

struct ConfirmingCheck {
  std::string id; ///< "level-cold"
  std::string title;
  std::string how;
  std::string shows;
  std::string tools;         ///< empty: none
  double minutes = 0.0;      ///< hands at work
  double tool_minutes = 0.0; ///< what fetching or borrowing the tools counts as
  EngineState engine = EngineState::any;
  std::vector<Hazard> hazards;
  CauseShares finds{}; ///< chance that it shows the cause, where that is the cause
};

struct PlannedCheck {
  ConfirmingCheck check;
  double settles = 0.0; ///< share of all the doubt that it is expected to settle at its turn
};

struct CheckPlan {
  std::vector<PlannedCheck> checks;
  double left_open = 1.0; ///< share of the doubt that all of them together leave
};

/// All checks that make sense on this vehicle, with its own figures in them.
std::vector<ConfirmingCheck> check_catalogue(const JobFacts& facts);

/// How likely each fault is, given that there is one. The ranking is softened so that the first
/// fault is no likelier than the verdict's confidence, what is taken off going to all faults alike:
/// the checks are there to find the ranking wrong. All 0 where the report ranks no fault.
CauseShares fault_shares(const ReportedTrip& trip);

/// Least of all the doubt for which a check is worth listing, and most checks (common practice, no
/// source).
inline constexpr double k_least_settled = 0.025;
inline constexpr std::size_t k_most_checks = 8;
/// Waiting until a hot engine can be opened, and warming up a cold one, min (common practice, no
/// source).
inline constexpr double k_cool_down_min = 120.0;
inline constexpr double k_heat_up_min = 15.0;

/// Greedy by doubt settled per minute, among checks that settle `k_least_settled` or more. The
/// level on the cold engine comes first whatever it settles, since the running checks need it.
CheckPlan order_checks(std::vector<ConfirmingCheck> catalogue, const CauseShares& shares);

/// Those that need a cold engine, a few minutes and no tools.
std::vector<ConfirmingCheck> free_checks(const JobFacts& facts);

} // namespace coolband
