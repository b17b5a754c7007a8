// SPDX-License-Identifier: Apache-2.0
// The fleet's summary as `coolband.fleet/1`.
#include "fleet/fleet_report.hpp"

#include "coolband/version.hpp"
#include "fleet/record_json.hpp"
#include "fleet/trend_json.hpp"
#include "report/json_parts.hpp"

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

Json changes_json(const FleetSummary& summary) {
  if (summary.run() == 0) return nullptr;
  const auto& counts = summary.counts().by_change;
  Json json;
  for (const Change change : {Change::first_seen, Change::worse, Change::better, Change::other}) {
    std::string name(name_of(change));
    if (change == Change::first_seen) name = "first_seen";
    json[name] = counts[static_cast<std::size_t>(change)];
  }
  return json;
}

Json counts_json(const FleetSummary& summary) {
  const FleetCounts& counts = summary.counts();
  Json json;
  json["vehicles"] = counts.vehicles;
  json["vehicles_not_judged"] = counts.not_judged;
  json["logs"] = counts.logs;
  json["logs_with_problems"] = counts.logs_unused;
  json["trips"] = counts.trips;
  json["rows_set_aside"] = counts.rows_set_aside;
  json["files_passed_by"] = counts.passed_over;
  json["problems"] = counts.problems;
  for (const Action action : {Action::none, Action::monitor, Action::service, Action::stop})
    json["actions"][std::string(name_of(action))] =
        counts.by_action[static_cast<std::size_t>(action)];
  for (const BandSource source : {BandSource::none, BandSource::given, BandSource::own})
    json["bands"][std::string(name_of(source))] = counts.by_band[static_cast<std::size_t>(source)];
  json["changes"] = changes_json(summary);
  return json;
}

Json outlooks_json(const OutlookCounts& counts) {
  Json json;
  json["trends"] = {{"vehicles_with_a_chart", counts.charted},
                    {"vehicles_listed", counts.creeping}};
  json["siblings"] = {{"vehicles_compared", counts.compared}, {"vehicles_listed", counts.odd}};
  json["method"] = "Benjamini & Hochberg";
  json["false_discovery_rate"] = k_false_share;
  return json;
}

Json state_or_null(const VehicleState& state) {
  if (state.trips == 0) return nullptr;
  Json json = state_json(state);
  json["start"] = text_or_null(state.start);
  return json;
}

Json band_of(const VehicleRecord& vehicle) {
  Json json = band_json(vehicle.band);
  json["path"] = text_or_null(vehicle.band.path);
  json["why_none"] = text_or_null(vehicle.band.why_none);
  return json;
}

Json trips_json(const VehicleRecord& vehicle) {
  const std::vector<TripOfLog> trips = trips_in_time(vehicle);
  Json list = Json::array();
  for (std::size_t i = trips.size() - std::min(trips.size(), k_latest_trips); i < trips.size();
       ++i) {
    const TripRecord& trip = *trips[i].trip;
    list.push_back({{"log", trips[i].log->path},
                    {"trip", trips[i].number},
                    {"start", text_or_null(trip.start)},
                    {"action", name_of(trip.action)},
                    {"condition", name_of(trip.condition)},
                    {"confidence", trip.confidence},
                    {"median_c", maybe_number(trip.median_c)},
                    {"hottest_c", maybe_number(trip.hottest_c)},
                    {"boiling_margin_c", maybe_number(trip.boiling_margin_c)}});
  }
  return list;
}

Json vehicle_json(const VehicleRecord& vehicle, const Outlook& outlook, std::size_t rank,
                  std::size_t run) {
  Json json;
  json["rank"] = rank;
  json["id"] = vehicle.id;
  json["label"] = text_or_null(vehicle.label);
  json["action"] =
      vehicle.state.trips == 0 ? Json(nullptr) : Json(name_of(todo_of(vehicle, outlook)));
  json["state"] = state_or_null(vehicle.state);
  json["change"] = run == 0 ? Json(nullptr) : Json(name_of(change_of(vehicle, run)));
  const bool changed = run != 0 && vehicle.run == run && vehicle.before.has_value();
  json["before"] = changed ? state_or_null(*vehicle.before) : Json(nullptr);
  json["trend"] = outlook.trend ? trend_json(*outlook.trend, outlook.creeping) : Json(nullptr);
  json["siblings"] =
      outlook.siblings ? siblings_json(*outlook.siblings, outlook.distances) : Json(nullptr);
  json["band"] = band_of(vehicle);
  json["profile"] = text_or_null(vehicle.profile);
  json["logs"] = vehicle.logs.size();
  json["latest_trips"] = trips_json(vehicle);
  json["problems"] = problems_json(problems_of(vehicle));
  return json;
}

/// The lines of a value, moved to the right.
std::string indented(const std::string& text, std::size_t columns) {
  std::string result(columns, ' ');
  for (const char c : text) {
    result += c;
    if (c == '\n') result.append(columns, ' ');
  }
  return result;
}

} // namespace

std::optional<Error> render_fleet_json(const FleetSummary& summary, const SummaryOptions& options,
                                       const TextSink& sink) {
  const std::size_t run = options.has_store ? summary.run() : 0;
  Json head;
  head["schema"] = "coolband.fleet/1";
  head["tool"] = {{"name", "coolband"}, {"version", version()}};
  head["counts"] = counts_json(summary);
  head["outlooks"] = outlooks_json(summary.outlooks());
  head["problems"] = problems_json(summary.problems());
  std::string text = json_text(head, 2);
  text.resize(text.size() - 2); // the closing brace: the vehicles follow, one by one
  if (auto error = sink(text + ",\n  \"vehicles\": [")) return error;
  std::optional<Error> unsent;
  std::size_t rank = 0;
  const auto put = [&](const VehicleRecord& vehicle, const Outlook& outlook) {
    ++rank;
    unsent = sink((rank == 1 ? "\n" : ",\n") +
                  indented(json_text(vehicle_json(vehicle, outlook, rank, run), 2), 4));
    return !unsent.has_value();
  };
  auto told = summary.for_each_with_outlook(put);
  if (unsent) return unsent;
  if (told) return told;
  return sink(rank == 0 ? "]\n}\n" : "\n  ]\n}\n");
}

} // namespace coolband
