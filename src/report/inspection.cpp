// SPDX-License-Identifier: Apache-2.0
// How a log was read, and what can be judged from it.
#include "coolband/report/report.hpp"

#include "coolband/version.hpp"
#include "report/json_parts.hpp"
#include "report/layout.hpp"
#include "report/log_scope.hpp"
#include "report/reading_words.hpp"
#include "report/sanity_words.hpp"
#include "report/sketch.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

/// A log of hundreds of trips is not the place for hundreds of pictures.
constexpr std::size_t k_most_sketches = 12;

std::string sensor_words(const Trip& trip) {
  if (trip.usable_rows == 0) return "not one believable coolant reading";
  std::string text = trip.resolution_c > 0.0 ? fmt::format("steps of {:.2g} K", trip.resolution_c)
                                             : "steps finer than 0.1 K";
  if (trip.sensor_events.empty()) return text + ", no jump or dropout";
  return text + fmt::format(", {} jump{} or dropout{}", trip.sensor_events.size(),
                            trip.sensor_events.size() == 1 ? "" : "s",
                            trip.sensor_events.size() == 1 ? "" : "s");
}

std::string extent_words(const Recording& recording, const Trip& trip, std::size_t number) {
  const std::string start = format_instant(recording.clock, trip.start_s);
  std::string text =
      fmt::format("{}: rows {} to {}", number, recording.row_map.at(trip.first_row).row,
                  recording.row_map.at(trip.last_row).row);
  if (!trip.trip_id.empty()) text += ", trip " + trip.trip_id;
  if (!trip.vehicle_id.empty()) text += ", vehicle " + trip.vehicle_id;
  if (!start.empty()) text += ", from " + start;
  if (trip.rest_s) text += ", after up to " + format_duration(*trip.rest_s) + " at rest";
  text += ", " + format_duration(trip.duration_s);
  if (trip.longest_gap_s <= 1.5 * trip.sample_period_s) return text + ", without a hole";
  return text + ", longest hole " + format_duration(trip.longest_gap_s);
}

void add_trip(Page& page, const Recording& recording, const TripFinding& finding,
              std::size_t number, const TextStyle& style) {
  const Trip& trip = finding.trip;
  page.add_blank();
  page.add("TRIP", extent_words(recording, trip, number));
  page.add("", fmt::format("coolant known in {} of {} rows; {}", trip.usable_rows,
                           trip.last_row - trip.first_row + 1, sensor_words(trip)));
  const double judged_s = finding.judgement.judged_s;
  std::string warm = fmt::format("{} of warm running", format_duration(judged_s));
  if (trip.level_c && judged_s > 0.0) warm += fmt::format(" about {:.1f} °C", *trip.level_c);
  if (trip.distance_km) warm += fmt::format("; {:.1f} km", *trip.distance_km);
  page.add("", warm);
  page.add("SAMPLING", sampling_words(trip));
  page.add_list("SENSORS", sanity_words(recording, trip));
  if (number <= k_most_sketches)
    page.add_picture("COOLANT", sketch(recording, trip, page.picture_width(), style.ascii));
}

void add_reading(Page& page, const Recording& recording) {
  const HowRead& how = recording.how;
  std::string format = form_words(how);
  if (!how.delimiter.empty()) format += ", delimiter: " + how.delimiter;
  if (how.decimal_comma) format += ", decimal comma";
  if (how.header_line > 0) format += fmt::format(", headings in line {}", how.header_line);
  page.add("FORMAT", format + ", clock: " + how.clock);
  std::vector<std::vector<std::string>> rows = {{"role", "heading", "unit", "unit from"}};
  for (const ColumnReading& column : how.columns) {
    rows.push_back(
        {std::string(name_of(column.role)), column.heading, column.unit, column.unit_origin});
  }
  page.add_table("COLUMNS", rows);
  std::string ignored;
  for (const std::string& heading : how.ignored) ignored += (ignored.empty() ? "" : ", ") + heading;
  if (!ignored.empty()) page.add("NOT USED", ignored);
  page.add("ROWS", fmt::format("{} read, {} kept", how.rows, recording.size()));
  page.add_list("CLOCK", set_aside_words(how.clock_events, "time"));
  page.add_list("SET ASIDE", set_aside_words(how.set_aside, "row"));
  page.add_list("MISSING", set_aside_words(how.missing_cells, "cell"));
  page.add_list("NOTES", how.notes);
}

/// A heading over the whole width, and the list under it.
void add_section(Page& page, const std::string& heading, const std::vector<std::string>& lines) {
  if (lines.empty()) return;
  page.add_blank();
  page.add_heading(heading);
  page.add_list("", lines);
}

Json sanity_json(const Recording& recording, const Trip& trip) {
  const Sanity& sanity = trip.sanity;
  Json json;
  json["odd_values"] = Json::array();
  for (const OddValues& odd : sanity.odd) {
    json["odd_values"].push_back({{"role", name_of(odd.role)},
                                  {"kind", name_of(odd.oddity)},
                                  {"meaning", meaning_of(odd)},
                                  {"rows", odd.rows},
                                  {"first_row", recording.row_map.at(odd.first_row).row},
                                  {"value", rounded(odd.value)}});
  }
  json["refresh"] = Json::array();
  for (const Refresh& refresh : sanity.refresh) {
    json["refresh"].push_back({{"role", name_of(refresh.role)},
                               {"period_s", rounded(refresh.period_s)},
                               {"at_most", refresh.at_most}});
  }
  json["cold_soak"] = nullptr;
  if (const auto& soak = sanity.cold_soak) {
    json["cold_soak"] = {
        {"outcome", name_of(soak->outcome)},   {"coolant_c", rounded(soak->coolant_c)},
        {"ambient_c", maybe(soak->ambient_c)}, {"intake_c", maybe(soak->intake_c)},
        {"rest_s", maybe(soak->rest_s)},       {"note", cold_soak_words(*soak)}};
  }
  json["frozen"] = nullptr;
  if (const auto& frozen = sanity.frozen) {
    json["frozen"] = {{"first_row", recording.row_map.at(frozen->first_row).row},
                      {"last_row", recording.row_map.at(frozen->last_row).row},
                      {"length_s", rounded(frozen->length_s)},
                      {"reading_c", rounded(frozen->reading_c)}};
  }
  json["missing"] = nullptr;
  if (const auto& missing = sanity.missing) {
    json["missing"] = {{"times", missing->times},
                       {"first_row", recording.row_map.at(missing->first_row).row},
                       {"longest_s", rounded(missing->longest_s)}};
  }
  return json;
}

/// Of the coolant: null when nothing is known of it.
Json refresh_json(const Trip& trip) {
  for (const Refresh& refresh : trip.sanity.refresh) {
    if (refresh.role == Role::coolant) return rounded(refresh.period_s);
  }
  return nullptr;
}

Json trip_inspection(const Recording& recording, const TripFinding& finding) {
  const Trip& trip = finding.trip;
  Json json = trip_json(recording, trip);
  json.erase("source");
  json["vehicle_id"] = trip.vehicle_id.empty() ? Json(nullptr) : Json(trip.vehicle_id);
  json["rest_s"] = maybe(trip.rest_s);
  json["longest_gap_s"] = rounded(trip.longest_gap_s);
  json["resolution_c"] = rounded(trip.resolution_c);
  json["refresh_s"] = refresh_json(trip);
  json["sensor_events"] = trip.sensor_events.size();
  json["sanity"] = sanity_json(recording, trip);
  json["warm_s"] = rounded(finding.judgement.judged_s);
  json["level_c"] = maybe(trip.level_c);
  json["warm_ups"] = warm_ups_json(trip, nullptr);
  json["limits"] = finding.judgement.limits;
  return json;
}

} // namespace

std::string render_inspection(const Recording& recording, const std::vector<TripFinding>& findings,
                              const TextStyle& style) {
  Page page(style);
  page.add("LOG", recording.source == "-" ? "standard input" : recording.source);
  add_reading(page, recording);
  for (std::size_t i = 0; i < findings.size(); ++i)
    add_trip(page, recording, findings[i], i + 1, style);
  if (findings.size() > k_most_sketches)
    page.add("", fmt::format("pictures of the first {} trips only", k_most_sketches));
  const LogScope scope = scope_of(findings);
  add_section(page, "WHAT THIS LOG CAN SHOW", scope.can_judge);
  add_section(page, "WHAT IT CANNOT SHOW", scope.cannot_judge);
  add_section(page, "LOG NEXT TIME", scope.log_next);
  return page.take();
}

std::string render_inspection_json(const Recording& recording,
                                   const std::vector<TripFinding>& findings, int indent) {
  Json json;
  json["schema"] = "coolband.inspection/1";
  json["tool"] = {{"name", "coolband"}, {"version", version()}};
  json["source"] = recording.source;
  json["import"] = import_json(recording.how);
  json["trips"] = Json::array();
  for (const TripFinding& finding : findings)
    json["trips"].push_back(trip_inspection(recording, finding));
  const LogScope scope = scope_of(findings);
  json["can_judge"] = scope.can_judge;
  json["cannot_judge"] = scope.cannot_judge;
  json["log_next"] = scope.log_next;
  return json_text(json, indent);
}

} // namespace coolband
