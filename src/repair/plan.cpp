// SPDX-License-Identifier: Apache-2.0
// The plan, section by section.
#include "repair/plan.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

/// A fault at least this likely is worth looking for though no verdict names it (common practice,
/// no source).
constexpr double k_worth_looking = 0.25;

bool is_fault(Condition condition) { return repair_of(condition) != RepairKind::none; }

std::optional<RankedCause> likeliest_fault(const ReportedTrip& trip) {
  const auto found = std::find_if(trip.causes.begin(), trip.causes.end(),
                                  [](const RankedCause& c) { return is_fault(c.condition); });
  if (found == trip.causes.end()) return std::nullopt;
  return *found;
}

void settle_purpose(const JobOptions& options, JobPlan& plan) {
  const ReportedTrip& trip = plan.trip;
  plan.confirmed = options.confirmed.has_value();
  const Condition named = options.confirmed.value_or(trip.condition);
  if (is_fault(named)) {
    plan.purpose = JobPurpose::repair;
    plan.cause = named;
    return;
  }
  if (plan.confirmed || (named == Condition::normal && trip.action < Action::service)) return;
  const auto likeliest = likeliest_fault(trip);
  if (!likeliest) return;
  const bool called_for = trip.action >= Action::service;
  if (called_for || likeliest->probability >= k_worth_looking) {
    plan.purpose = JobPurpose::find;
    plan.cause = likeliest->condition;
  }
}

void plan_checks(JobPlan& plan) {
  if (plan.confirmed) return;
  if (plan.purpose != JobPurpose::watch) {
    plan.checks = order_checks(check_catalogue(plan.facts), fault_shares(plan.trip));
    return;
  }
  for (const ConfirmingCheck& check : free_checks(plan.facts))
    plan.checks.checks.push_back({check});
}

std::optional<Error> plan_work(const JobOptions& options, JobPlan& plan) {
  const RepairKind kind = repair_of(*plan.cause);
  const auto coolant = job_coolant(kind, plan.facts, options.coolant);
  if (!coolant) return coolant.error();
  plan.coolant = *coolant;
  plan.parts = parts_for(kind, plan.facts, plan.coolant);
  plan.costs = cost_up(plan.parts, options.prices, options.currency, options.hours);
  plan.work = order_of_work(kind, plan.facts);
  plan.fasteners = fasteners_of(kind);
  plan.bleeding = bleeding_steps(kind, plan.facts);
  plan.together = replace_together(
      kind, plan.facts, {options.lives, options.next_km, plan.facts.odometer_km, options.prices});
  return std::nullopt;
}

void plan_proof(const std::vector<ReportedTrip>& trips, const JobOptions& options, JobPlan& plan) {
  if (plan.purpose != JobPurpose::repair) {
    plan.proof = telling_run(plan.trip);
    return;
  }
  ShowingRate rate = showing_of(trips, plan.trip, *plan.cause);
  rate.share = options.share;
  plan.proof = proving_run(*plan.cause, plan.trip, rate, options.miss);
}

void note_missing(JobPlan& plan) {
  if (plan.purpose == JobPurpose::watch) return;
  const JobFacts& facts = plan.facts;
  const auto note = [&](bool known, const char* words) {
    if (!known) plan.missing.emplace_back(words);
  };
  const bool thermostat = repair_of(*plan.cause) == RepairKind::thermostat;
  if (thermostat)
    note(facts.opens_c && !facts.opens_by_band,
         "thermostat.opens_c: the rating to buy and test by");
  if (!plan.bleeding.empty())
    note(facts.valve_side.has_value(), "thermostat.position: where to bleed");
  note(facts.cap_kpa.has_value(), "cooling.cap_kpa: the pressures to test with");
  note(facts.fan.has_value(), "cooling.fan: how its fan is checked");
  if (plan.coolant) {
    note(plan.coolant->capacity_l.has_value(), "cooling.capacity_l: how much to fill in");
    note(facts.glycol.has_value(), "cooling.glycol: which kind");
    note(facts.concentration_pct || facts.glycol == Glycol::none,
         "cooling.concentration_vol_pct: which mix");
  }
}

void gather_cautions(JobPlan& plan) {
  std::vector<Hazard> hazards = plan.work.hazards;
  if (calls_to_stop(plan.trip.action, plan.trip.condition) ||
      (plan.cause && may_overheat(*plan.cause)))
    hazards.push_back(Hazard::driving_on);
  for (const PlannedCheck& planned : plan.checks.checks)
    hazards.insert(hazards.end(), planned.check.hazards.begin(), planned.check.hazards.end());
  hazards.push_back(Hazard::maker_first);
  plan.cautions = each_once(std::move(hazards));
}

Error no_such_trip(std::string message, std::string remedy) {
  return {ErrorKind::usage, {}, std::move(message), "", std::move(remedy)};
}

Result<std::size_t> chosen_trip(const std::vector<ReportedTrip>& trips, const JobOptions& options) {
  const auto trip = options.trip ? options.trip : worst_trip(trips, options.vehicle);
  if (!trip)
    return no_such_trip(
        fmt::format("the report has no trip of '{}', whose profile was given", options.vehicle),
        "give the profile of the vehicle that the report is of");
  if (*trip >= trips.size())
    return no_such_trip(
        fmt::format("there is no trip {}: the report has {}", *trip + 1, trips.size()),
        fmt::format("give --trip 1 to {}, or leave it out for the worst", trips.size()));
  const std::string& vehicle = trips[*trip].vehicle_id;
  if (!options.vehicle.empty() && vehicle != options.vehicle)
    return no_such_trip(
        fmt::format("trip {} is of '{}', the profile of '{}'", *trip + 1, vehicle, options.vehicle),
        "give the profile of its vehicle, or choose another --trip");
  return *trip;
}

} // namespace

std::string_view name_of(JobPurpose purpose) {
  switch (purpose) {
  case JobPurpose::repair: return "repair";
  case JobPurpose::find: return "find";
  case JobPurpose::watch: return "watch";
  }
  return "watch";
}

Result<JobPlan> plan_job(const std::vector<ReportedTrip>& trips, const JobOptions& options) {
  const auto chosen = chosen_trip(trips, options);
  if (!chosen) return chosen.error();
  JobPlan plan;
  plan.trip = trips[*chosen];
  plan.trip_index = *chosen;
  plan.trips = trips.size();
  plan.other_alarms = other_alarms(trips, *chosen);
  plan.facts = facts_of(plan.trip);
  if (options.odometer_km) plan.facts.odometer_km = options.odometer_km;
  plan.next_km = options.next_km;
  settle_purpose(options, plan);
  plan_checks(plan);
  if (plan.purpose == JobPurpose::repair) {
    if (const auto error = plan_work(options, plan)) return *error;
  }
  plan_proof(trips, options, plan);
  note_missing(plan);
  gather_cautions(plan);
  return plan;
}

} // namespace coolband
