// SPDX-License-Identifier: Apache-2.0
// JSON parts that the report and the inspection share.
#include "report/json_parts.hpp"

#include "core/code_point.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

Json set_aside_json(const std::vector<SetAside>& items) {
  Json list = Json::array();
  for (const SetAside& item : items) {
    list.push_back({{"reason", item.reason},
                    {"count", item.count},
                    {"first_row", item.first_row},
                    {"first_line", item.first_line > 0 ? Json(item.first_line) : Json(nullptr)}});
  }
  return list;
}

} // namespace

Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json rounded(double value, int digits) {
  if (!std::isfinite(value)) return nullptr;
  const double scale = std::pow(10.0, digits);
  const double result = std::round(value * scale) / scale;
  return result == 0.0 ? 0.0 : result; // never "-0.0"
}

Json maybe(const std::optional<double>& value, int digits) {
  return value ? rounded(*value, digits) : Json(nullptr);
}

std::string json_text(const Json& json, int indent) {
  return without_steering(json.dump(indent, ' ', false, Json::error_handler_t::replace));
}

Json instant(const Recording& recording, double seconds) {
  const std::string text = format_instant(recording.clock, seconds);
  return text.empty() ? Json(nullptr) : Json(text);
}

Json trip_json(const Recording& recording, const Trip& trip) {
  Json json;
  json["source"] = recording.source;
  json["start"] = instant(recording, trip.start_s);
  json["end"] = instant(recording, trip.start_s + trip.duration_s);
  json["duration_s"] = rounded(trip.duration_s);
  json["rows"] = trip.last_row - trip.first_row + 1;
  json["rows_used"] = trip.usable_rows;
  json["sample_period_s"] = rounded(trip.sample_period_s);
  json["distance_km"] = maybe(trip.distance_km);
  json["first_row"] = recording.row_map.at(trip.first_row).row;
  json["last_row"] = recording.row_map.at(trip.last_row).row;
  json["trip_id"] = text_or_null(trip.trip_id);
  return json;
}

Json warm_ups_json(const Trip& trip, const NormalBand* band) {
  Json list = Json::array();
  for (const WarmUp& warm_up : trip.warm_ups) {
    list.push_back(
        {{"start_s", rounded(warm_up.start_s)},
         {"from_c", rounded(warm_up.from_c)},
         {"reached_regulation_s", maybe(warm_up.reached_s)},
         {"expected_s", maybe(band == nullptr ? std::nullopt : expected_warm_up_s(*band, warm_up))},
         {"opened_at_c", maybe(warm_up.opened_c)}});
  }
  return list;
}

Json import_json(const HowRead& how) {
  Json json;
  json["format"] = how.format;
  json["compression"] = text_or_null(how.compression);
  json["encoding"] = text_or_null(how.encoding);
  json["shape"] = text_or_null(how.shape);
  json["delimiter"] = text_or_null(how.delimiter);
  json["decimal_comma"] = how.decimal_comma;
  json["clock"] = how.clock;
  json["rows"] = how.rows;
  json["columns"] = Json::array();
  for (const ColumnReading& column : how.columns) {
    json["columns"].push_back({{"role", name_of(column.role)},
                               {"heading", column.heading},
                               {"unit", text_or_null(column.unit)},
                               {"unit_from", text_or_null(column.unit_origin)}});
  }
  json["ignored"] = how.ignored;
  json["set_aside"] = set_aside_json(how.set_aside);
  json["missing_cells"] = set_aside_json(how.missing_cells);
  json["clock_events"] = set_aside_json(how.clock_events);
  json["notes"] = how.notes;
  return json;
}

} // namespace coolband
