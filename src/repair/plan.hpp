// SPDX-License-Identifier: Apache-2.0
// From a report to a job: what to check first, what to buy, how to do it, and how to prove it.
#pragma once

#include "repair/bleeding.hpp"
#include "repair/confirming_checks.hpp"
#include "repair/fasteners.hpp"
#include "repair/job_coolant.hpp"
#include "repair/order_of_work.hpp"
#include "repair/parts.hpp"
#include "repair/proving_run.hpp"
#include "repair/replace_together.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct JobOptions {
  std::optional<std::size_t> trip;    ///< counting from 0; none: the worst
  std::string vehicle;                ///< whose trip it must be; empty: any
  std::optional<Condition> confirmed; ///< found by hand, whatever the report says
  CoolantOptions coolant;
  std::vector<PartPrice> prices;
  std::optional<double> hours; ///< of work, as the workshop counts them
  std::string currency;
  std::vector<PartLife> lives;
  double next_km = 20000.0; ///< distance over which a part that is left may fail
  std::optional<double> odometer_km;
  std::optional<double> share; ///< of drives that show the fault, 0..1
  double miss = 0.05;          ///< what chance of having missed it is accepted
};

/// repair: a fault is named (or confirmed): checks and work. find: something is wrong and not
/// named: checks only. watch: nothing to mend: what to look at for nothing, and what to drive next.
enum class JobPurpose : std::uint8_t { repair, find, watch };
std::string_view name_of(JobPurpose purpose);

struct JobPlan {
  JobPurpose purpose = JobPurpose::watch;
  ReportedTrip trip;
  std::size_t trip_index = 0;
  std::size_t trips = 1;
  std::vector<std::size_t> other_alarms; ///< trips that call for service or stop as well
  std::optional<Condition> cause;        ///< what the work is for, or the likeliest to be found
  bool confirmed = false;
  JobFacts facts;
  CheckPlan checks;
  std::vector<PlannedPart> parts;
  std::optional<Costs> costs;
  std::optional<JobCoolant> coolant;
  Work work;
  std::vector<FastenerGroup> fasteners;
  std::vector<std::string> bleeding;
  std::vector<TogetherPart> together;
  double next_km = 0.0;
  ProvingRun proof;
  std::vector<std::string> missing; ///< what a profile would have told, and what for
  std::vector<Hazard> cautions;
};

/// Errors (kind usage): no such trip, or not of the vehicle asked for; coolant options that
/// contradict each other.
Result<JobPlan> plan_job(const std::vector<ReportedTrip>& trips, const JobOptions& options);

} // namespace coolband
