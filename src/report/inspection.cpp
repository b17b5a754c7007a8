// SPDX-License-Identifier: Apache-2.0
// How a log was read, and what can be judged from it.
#include "coolband/report/report.hpp"
#include "coolband/version.hpp"
#include "report/json_parts.hpp"
#include "report/layout.hpp"
#include "report/reading_words.hpp"

#include <cmath>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

std::string sensor_words(const Trip& trip) {
  if (trip.usable_rows == 0) return "not one believable coolant reading";
  std::string text = trip.resolution_c > 0.0 ? fmt::format("steps of {:.2g} K", trip.resolution_c)
                                             : "steps finer than 0.1 K";
  if (trip.sensor_events.empty()) return text + ", no jump or dropout";
  return text + fmt::format(", {} jump{} or dropout{}", trip.sensor_events.size(),
                            trip.sensor_events.size() == 1 ? "" : "s",
                            trip.sensor_events.size() == 1 ? "" : "s");
}

void add_trip(Page& page, const Recording& recording, const TripFinding& finding,
              std::size_t number) {
  const Trip& trip = finding.trip;
  const std::string start = format_instant(recording.clock, trip.start_s);
  std::string text =
      fmt::format("{}: rows {} to {}", number, recording.row_map.at(trip.first_row).row,
                  recording.row_map.at(trip.last_row).row);
  if (!trip.trip_id.empty()) text += ", trip " + trip.trip_id;
  if (!trip.vehicle_id.empty()) text += ", vehicle " + trip.vehicle_id;
  if (!start.empty()) text += ", from " + start;
  text += fmt::format(", {}, a reading every {:.2g} s, longest hole {}",
                      format_duration(trip.duration_s), trip.sample_period_s,
                      format_duration(trip.longest_gap_s));
  page.add("TRIP", text);
  page.add("", fmt::format("coolant known in {} of {} rows; {}", trip.usable_rows,
                           trip.last_row - trip.first_row + 1, sensor_words(trip)));
  const double judged_s = finding.judgement.judged_s;
  std::string warm = fmt::format("{} of warm running", format_duration(judged_s));
  if (trip.level_c && judged_s > 0.0) warm += fmt::format(" about {:.1f} °C", *trip.level_c);
  if (trip.distance_km) warm += fmt::format("; {:.1f} km", *trip.distance_km);
  page.add("", warm);
}

Json trip_inspection(const Recording& recording, const TripFinding& finding) {
  const Trip& trip = finding.trip;
  Json json = trip_json(recording, trip);
  json.erase("source");
  json["vehicle_id"] = trip.vehicle_id.empty() ? Json(nullptr) : Json(trip.vehicle_id);
  json["longest_gap_s"] = rounded(trip.longest_gap_s);
  json["resolution_c"] = rounded(trip.resolution_c);
  json["sensor_events"] = trip.sensor_events.size();
  json["warm_s"] = rounded(finding.judgement.judged_s);
  json["level_c"] = maybe(trip.level_c);
  json["warm_ups"] = warm_ups_json(trip);
  json["limits"] = finding.judgement.limits;
  return json;
}

} // namespace

std::string render_inspection(const Recording& recording, const std::vector<TripFinding>& findings,
                              const TextStyle& style) {
  const HowRead& how = recording.how;
  Page page(style);
  page.add("LOG", recording.source == "-" ? "standard input" : recording.source);
  std::string format = how.format;
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
  page.add_list("SET ASIDE", set_aside_words(how.set_aside, "row"));
  page.add_list("MISSING", set_aside_words(how.missing_cells, "cell"));
  page.add_list("NOTES", how.notes);
  for (std::size_t i = 0; i < findings.size(); ++i) add_trip(page, recording, findings[i], i + 1);
  if (!findings.empty()) page.add_list("NOT KNOWN", findings.front().judgement.limits);
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
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

} // namespace coolband
