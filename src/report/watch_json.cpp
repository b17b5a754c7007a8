// SPDX-License-Identifier: Apache-2.0
// `coolband.watch/1`: ordered keys, absent knowledge is null.
#include "coolband/version.hpp"

#include "report/json_parts.hpp"
#include "report/reading_words.hpp"
#include "report/watch_line.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

std::string_view name_of(WatchMoment moment) {
  switch (moment) {
  case WatchMoment::begin: return "begin";
  case WatchMoment::change: return "change";
  case WatchMoment::trip_end: return "trip-end";
  }
  return {};
}

/// Where a row is a line of its own, the rows of the trip that were not used.
Json rows_set_aside(const WatchEvent& event) {
  const Trip& trip = event.finding.trip;
  if (event.recording.how.shape != "wide") return nullptr;
  const RowMap& map = event.recording.row_map;
  const std::size_t rows = map.at(trip.last_row).row - map.at(trip.first_row).row;
  return rows - (trip.last_row - trip.first_row);
}

Json trip_json(const WatchEvent& event) {
  const Trip& trip = event.finding.trip;
  const double end_s = event.recording.time_s[event.last_row()];
  Json json;
  json["number"] = event.trip;
  json["start"] = instant(event.recording, trip.start_s);
  json["at"] = instant(event.recording, end_s);
  json["at_s"] = rounded(end_s - trip.start_s);
  json["at_row"] = event.rows_before + event.recording.row_map.at(event.last_row()).row;
  json["rows"] = trip.last_row - trip.first_row + 1;
  json["rows_set_aside"] = rows_set_aside(event);
  json["rows_forgotten"] = event.rows_forgotten;
  return json;
}

Json reading_json(const WatchEvent& event) {
  const Judgement& judgement = event.finding.judgement;
  const float read_c = event.recording.column(Role::coolant)[event.last_row()];
  const Heat* heat = event.heat ? &*event.heat : nullptr;
  Json json;
  json["coolant_c"] =
      heat != nullptr ? rounded(heat->coolant_c) : rounded(static_cast<double>(read_c));
  json["hottest_c"] = maybe(judgement.hottest_c);
  json["boiling_point_c"] = maybe(judgement.boiling.point_c);
  json["margin_spent"] = heat != nullptr ? rounded(heat->spent) : Json(nullptr);
  json["rate_k_per_min"] = heat != nullptr ? maybe(heat->rate_k_per_min) : Json(nullptr);
  json["boils_in_s"] = heat != nullptr ? maybe(heat->boils_in_s, 0) : Json(nullptr);
  return json;
}

Json standing_json(const Standing& standing) {
  return {{"condition", name_of(standing.condition)}, {"action", name_of(standing.action)}};
}

/// The confidence is that of the last judgement, where that is what stands.
Json verdict_json(const WatchEvent& event) {
  const Judgement& judgement = event.finding.judgement;
  const bool judged = judgement.condition == event.standing.condition && !event.heat;
  Json json;
  json["condition"] = name_of(event.standing.condition);
  json["confidence"] = judged ? rounded(judgement.confidence) : Json(nullptr);
  json["action"] = name_of(event.standing.action);
  json["headline"] = watch_headline(event);
  json["reasons"] = judgement.reasons;
  json["limits"] = judgement.limits;
  return json;
}

} // namespace

std::string render_watch_json(const WatchEvent& event) {
  const NormalBand* band = event.finding.band ? &*event.finding.band : nullptr;
  Judgement told = event.finding.judgement;
  told.action = event.standing.action;
  Json json;
  json["schema"] = "coolband.watch/1";
  json["tool"] = {{"name", "coolband"}, {"version", version()}};
  json["event"] = name_of(event.moment);
  json["source"] = event.recording.source;
  json["vehicle"] = {
      {"id", text_or_null(vehicle_id({event.recording, event.finding, event.profile, {}}))}};
  json["trip"] = trip_json(event);
  json["verdict"] = verdict_json(event);
  json["before"] =
      event.moment == WatchMoment::change ? standing_json(event.before) : Json(nullptr);
  json["raised_by"] = event.heat ? "last-readings" : "judgement";
  json["reading"] = reading_json(event);
  json["next_steps"] = watch_steps(event);
  json["cautions"] = advise(told, band).cautions;
  return json_text(json, -1) + '\n';
}

} // namespace coolband
