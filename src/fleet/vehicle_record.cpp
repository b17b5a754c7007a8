// SPDX-License-Identifier: Apache-2.0
// What is kept of a vehicle and its trips in short.
#include "fleet/vehicle_record.hpp"

#include <algorithm>
#include <limits>
#include <tuple>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Larger is graver. The order of the ranking between vehicles, too: docs/fleet.md.
auto gravity(const TripRecord& trip) {
  return std::make_tuple(trip.action, trip.confidence,
                         -trip.boiling_margin_c.value_or(std::numeric_limits<double>::infinity()));
}

} // namespace

std::string_view name_of(BandSource source) {
  switch (source) {
  case BandSource::none: return "none";
  case BandSource::given: return "given";
  case BandSource::own: return "own";
  }
  return "";
}

std::optional<BandSource> band_source_named(std::string_view name) {
  for (const BandSource source : {BandSource::none, BandSource::given, BandSource::own}) {
    if (name_of(source) == name) return source;
  }
  return std::nullopt;
}

Problem problem_of(const Error& error, const std::string& path) {
  return {error.origin.file.empty() ? path : error.origin.file, error.origin.line,
          error.origin.column, error.message, error.remedy};
}

std::string words_of(const Problem& problem) {
  std::string text = problem.path;
  if (problem.line > 0) text += fmt::format(":{}", problem.line);
  if (problem.line > 0 && problem.column > 0) text += fmt::format(":{}", problem.column);
  text += ": " + problem.message;
  if (!problem.remedy.empty()) text += " (" + problem.remedy + ")";
  return printable(text);
}

std::size_t VehicleRecord::trip_count() const {
  std::size_t count = 0;
  for (const LogRecord& log : logs) count += log.trips.size();
  return count;
}

std::size_t VehicleRecord::problem_count() const {
  std::size_t count = problems.size();
  for (const LogRecord& log : logs) count += log.problems.size();
  return count;
}

std::vector<Problem> problems_of(const VehicleRecord& vehicle) {
  std::vector<Problem> problems = vehicle.problems;
  for (const LogRecord& log : vehicle.logs)
    problems.insert(problems.end(), log.problems.begin(), log.problems.end());
  return problems;
}

std::vector<TripOfLog> trips_in_time(const VehicleRecord& vehicle) {
  std::vector<TripOfLog> trips;
  bool dated = true;
  for (const LogRecord& log : vehicle.logs) {
    for (std::size_t i = 0; i < log.trips.size(); ++i) {
      trips.push_back({&log, &log.trips[i], i + 1});
      dated = dated && log.trips[i].start_s.has_value();
    }
  }
  if (!dated) return trips;
  std::stable_sort(trips.begin(), trips.end(), [](const TripOfLog& a, const TripOfLog& b) {
    return *a.trip->start_s < *b.trip->start_s;
  });
  return trips;
}

VehicleState state_of(const VehicleRecord& vehicle, std::size_t recent) {
  const std::vector<TripOfLog> trips = trips_in_time(vehicle);
  VehicleState state;
  state.trips = trips.size();
  state.latest = std::min(recent, trips.size());
  const auto first = trips.end() - static_cast<std::ptrdiff_t>(state.latest);
  const TripOfLog* worst = nullptr;
  for (auto at = first; at != trips.end(); ++at) {
    if (worst == nullptr || gravity(*at->trip) >= gravity(*worst->trip)) worst = &*at;
    const auto& margin = at->trip->boiling_margin_c;
    if (margin)
      state.boiling_margin_c = std::min(*margin, state.boiling_margin_c.value_or(*margin));
  }
  if (worst == nullptr) return state;
  state.action = worst->trip->action;
  state.condition = worst->trip->condition;
  state.confidence = worst->trip->confidence;
  state.headline = worst->trip->headline;
  state.log = worst->log->path;
  state.start = worst->trip->start;
  state.as_grave = static_cast<std::size_t>(std::count_if(
      first, trips.end(), [&](const TripOfLog& t) { return t.trip->action == state.action; }));
  return state;
}

} // namespace coolband
