// SPDX-License-Identifier: Apache-2.0
// What there is to say of a fleet as a whole.
#include "fleet/fleet_summary.hpp"

#include <algorithm>
#include <limits>

namespace coolband {

std::string_view name_of(Change change) {
  switch (change) {
  case Change::none: return "none";
  case Change::first_seen: return "first-seen";
  case Change::worse: return "worse";
  case Change::better: return "better";
  case Change::other: return "other";
  }
  return "";
}

Change change_of(const VehicleRecord& vehicle, std::size_t run) {
  if (run == 0 || vehicle.run != run) return Change::none;
  if (!vehicle.before) return Change::first_seen;
  const VehicleState& before = *vehicle.before;
  const VehicleState& now = vehicle.state;
  if (before.trips == 0 && now.trips > 0) return Change::first_seen;
  if (now.action > before.action) return Change::worse;
  if (now.action < before.action) return Change::better;
  return now.condition != before.condition ? Change::other : Change::none;
}

void FleetCounts::add(const FleetCounts& other) {
  const auto sum = [](auto& to, const auto& from) {
    for (std::size_t i = 0; i < to.size(); ++i) to[i] += from[i];
  };
  vehicles += other.vehicles;
  logs += other.logs;
  logs_unused += other.logs_unused;
  trips += other.trips;
  rows_set_aside += other.rows_set_aside;
  passed_over += other.passed_over;
  problems += other.problems;
  judged += other.judged;
  not_judged += other.not_judged;
  sum(by_action, other.by_action);
  sum(by_band, other.by_band);
  sum(by_change, other.by_change);
}

std::optional<Error> FleetSummary::add(const VehicleRecord& vehicle, std::size_t judged) {
  if (vehicle.logs.empty() && vehicle.problem_count() == 0) {
    // A folder of something else, e.g. the bands.
    counts_.passed_over += vehicle.passed_over;
    return std::nullopt;
  }
  FleetCounts one;
  one.vehicles = 1;
  one.logs = vehicle.logs.size();
  for (const LogRecord& log : vehicle.logs) {
    one.logs_unused += log.problems.empty() ? 0U : 1U;
    one.rows_set_aside += log.rows_set_aside;
  }
  one.trips = vehicle.trip_count();
  one.passed_over = vehicle.passed_over;
  one.problems = vehicle.problem_count();
  one.judged = judged;
  if (vehicle.state.trips > 0)
    one.by_action[static_cast<std::size_t>(vehicle.state.action)] = 1;
  else
    one.not_judged = 1;
  one.by_band[static_cast<std::size_t>(vehicle.band.source)] = 1;
  one.by_change[static_cast<std::size_t>(change_of(vehicle, run_))] = 1;
  counts_.add(one);

  const std::string text = record_json(vehicle);
  const VehicleState& state = vehicle.state;
  ranks_.push_back(
      {state.action, state.trips > 0, static_cast<float>(state.confidence),
       static_cast<float>(state.boiling_margin_c.value_or(std::numeric_limits<double>::infinity())),
       static_cast<std::uint32_t>(text.size()), records_.size(), vehicle.id});
  return records_.add(text);
}

void FleetSummary::add_problems(const std::vector<Problem>& problems, std::size_t passed_over) {
  problems_.insert(problems_.end(), problems.begin(), problems.end());
  counts_.problems += problems.size();
  counts_.logs_unused += problems.size();
  counts_.passed_over += passed_over;
}

bool FleetSummary::graver(const Rank& a, const Rank& b) {
  if (a.judged != b.judged) return a.judged;
  if (a.action != b.action) return a.action > b.action;
  if (a.confidence != b.confidence) return a.confidence > b.confidence;
  if (a.margin_c != b.margin_c) return a.margin_c < b.margin_c;
  return a.id < b.id;
}

std::vector<const FleetSummary::Rank*> FleetSummary::ranked() const {
  std::vector<const Rank*> ranks;
  ranks.reserve(ranks_.size());
  for (const Rank& rank : ranks_) ranks.push_back(&rank);
  std::sort(ranks.begin(), ranks.end(),
            [](const Rank* a, const Rank* b) { return graver(*a, *b); });
  return ranks;
}

std::optional<Error> FleetSummary::for_each_ranked(const UseRecord& use) const {
  for (const Rank* rank : ranked()) {
    std::string text;
    if (auto error = records_.copy(rank->offset, rank->length, [&](std::string_view piece) {
          text += piece;
          return std::optional<Error>();
        }))
      return error;
    const auto record = parse_record(text);
    if (!record) return record.error();
    if (!use(*record)) break;
  }
  return std::nullopt;
}

} // namespace coolband
