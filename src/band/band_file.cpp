// SPDX-License-Identifier: Apache-2.0
// Writing and reading `coolband.band/1`.
#include "coolband/band/band_file.hpp"

#include "band/json_fields.hpp"
#include "core/text_file.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

constexpr Range k_any{-1e9, 1e9};
constexpr Range k_positive{0.0, 1e9};
constexpr Range k_reading_c{-60.0, 200.0};

/// As in a drive's summary: no digits that differ between math libraries.
double rounded(double value) { return std::round(value * 1e6) / 1e6; }

Json maybe(const std::optional<double>& value) {
  return value ? Json(rounded(*value)) : Json(nullptr);
}
Json maybe(const std::optional<Range>& value) {
  return value ? Json::array({value->low, value->high}) : Json(nullptr);
}

Json drive_json(const DriveSummary& drive) {
  Json json;
  json["source"] = drive.source;
  json["start"] = drive.start;
  json["warm_s"] = drive.warm_s;
  json["level_c"] = drive.level_c;
  json["scatter_c"] = drive.scatter_c;
  json["effective_count"] = drive.effective_count;
  json["correlation_s"] = drive.correlation_s;
  json["resolution_c"] = drive.resolution_c;
  json["hottest_c"] = drive.hottest_c;
  json["load_mean_pct"] = maybe(drive.load_mean_pct);
  json["load_scatter_pct"] = maybe(drive.load_scatter_pct);
  json["load_slope_c_per_pct"] = maybe(drive.load_slope);
  json["load_slope_error_c_per_pct"] = maybe(drive.load_slope_error);
  json["load_seen_pct"] = maybe(drive.load_seen_pct);
  json["ambient_mean_c"] = maybe(drive.ambient_mean_c);
  json["ambient_seen_c"] = maybe(drive.ambient_seen_c);
  return json;
}

DriveSummary drive_from(FieldReader& reader, const Json& json) {
  DriveSummary drive;
  drive.source = reader.required_text(json, "source");
  drive.start = reader.text(json, "start").value_or("");
  drive.warm_s = reader.required_number(json, "warm_s", k_positive);
  drive.level_c = reader.required_number(json, "level_c", k_reading_c);
  drive.scatter_c = reader.required_number(json, "scatter_c", k_positive);
  drive.effective_count = reader.required_number(json, "effective_count", {1.0, 1e9});
  drive.correlation_s = reader.required_number(json, "correlation_s", k_positive);
  drive.resolution_c = reader.required_number(json, "resolution_c", k_positive);
  drive.hottest_c = reader.required_number(json, "hottest_c", k_reading_c);
  drive.load_mean_pct = reader.number(json, "load_mean_pct", k_any);
  drive.load_scatter_pct = reader.number(json, "load_scatter_pct", k_positive);
  drive.load_slope = reader.number(json, "load_slope_c_per_pct", k_any);
  drive.load_slope_error = reader.number(json, "load_slope_error_c_per_pct", k_positive);
  drive.load_seen_pct = reader.range(json, "load_seen_pct");
  drive.ambient_mean_c = reader.number(json, "ambient_mean_c", k_any);
  drive.ambient_seen_c = reader.range(json, "ambient_seen_c");
  return drive;
}

Json model_json(const NormalBand& band) {
  Json json;
  json["schema"] = "coolband.band/1";
  json["vehicle"] = band.vehicle;
  json["centre_c"] = rounded(band.centre_c);
  json["centre_error_c"] = rounded(band.centre_error_c);
  json["load_c_per_pct"] = maybe(band.load_c_per_pct);
  json["ambient_c_per_c"] = maybe(band.ambient_c_per_c);
  json["reference"] = {{"load_pct", maybe(band.reference_load_pct)},
                       {"ambient_c", maybe(band.reference_ambient_c)}};
  json["between_c"] = rounded(band.between_c);
  json["within_c"] = rounded(band.within_c);
  json["half_width_c"] = rounded(band.half_width_c);
  json["lower_c"] = rounded(band.centre_c - band.half_width_c);
  json["upper_c"] = rounded(band.centre_c + band.half_width_c);
  json["freedom"] = rounded(band.freedom);
  json["correlation_s"] = rounded(band.correlation_s);
  json["opens_c"] = maybe(band.opens_c);
  json["load_seen_pct"] = maybe(band.load_seen_pct);
  json["ambient_seen_c"] = maybe(band.ambient_seen_c);
  json["notes"] = band.notes;
  return json;
}

Json band_json(const NormalBand& band) {
  Json json = model_json(band);
  json["drives"] = Json::array();
  for (const auto& drive : band.drives) json["drives"].push_back(drive_json(drive));
  json["left_out"] = Json::array();
  for (const auto& left : band.left_out) {
    Json entry = drive_json(left.drive);
    entry["reason"] = left.reason;
    json["left_out"].push_back(std::move(entry));
  }
  if (!band.extra_json.empty()) json.update(Json::parse(band.extra_json));
  return json;
}

/// Fields that another version or another tool wrote; they are carried, not understood.
std::string unknown_fields(const Json& json) {
  const Json known = band_json(NormalBand{});
  Json extra = Json::object();
  for (const auto& [key, value] : json.items()) {
    if (!known.contains(key)) extra[key] = value;
  }
  return extra.empty() ? "" : extra.dump();
}

void read_model(FieldReader& reader, const Json& json, NormalBand& band) {
  band.vehicle = reader.required_text(json, "vehicle");
  band.centre_c = reader.required_number(json, "centre_c", k_reading_c);
  band.centre_error_c = reader.required_number(json, "centre_error_c", k_positive);
  band.load_c_per_pct = reader.number(json, "load_c_per_pct", k_any);
  band.ambient_c_per_c = reader.number(json, "ambient_c_per_c", k_any);
  band.between_c = reader.required_number(json, "between_c", k_positive);
  band.within_c = reader.required_number(json, "within_c", k_positive);
  band.half_width_c = reader.required_number(json, "half_width_c", {1e-3, 100.0});
  band.freedom = reader.required_number(json, "freedom", k_positive);
  band.correlation_s = reader.required_number(json, "correlation_s", k_positive);
  band.opens_c = reader.number(json, "opens_c", k_reading_c);
  band.load_seen_pct = reader.range(json, "load_seen_pct");
  band.ambient_seen_c = reader.range(json, "ambient_seen_c");
  const auto reference = json.find("reference");
  if (reference == json.end() || !reference->is_object())
    return reader.complain("reference", "is missing");
  band.reference_load_pct = reader.number(*reference, "load_pct", k_any);
  band.reference_ambient_c = reader.number(*reference, "ambient_c", k_any);
}

void read_drives(FieldReader& reader, const Json& json, NormalBand& band) {
  const auto drives = json.find("drives");
  if (drives == json.end() || !drives->is_array()) return reader.complain("drives", "is missing");
  for (const Json& drive : *drives) {
    if (!drive.is_object()) return reader.complain("drives", "must hold objects");
    band.drives.push_back(drive_from(reader, drive));
  }
  const auto left_out = json.find("left_out");
  if (left_out == json.end() || !left_out->is_array()) return;
  for (const Json& left : *left_out) {
    if (!left.is_object()) return reader.complain("left_out", "must hold objects");
    band.left_out.push_back({drive_from(reader, left), reader.text(left, "reason").value_or("")});
  }
}

} // namespace

std::string write_band(const NormalBand& band) {
  return band_json(band).dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Result<NormalBand> parse_band(const std::string& text, const std::string& name) {
  const auto json = parse_schema(text, name, "coolband.band/1");
  if (!json) return json.error();
  FieldReader reader(name);
  NormalBand band;
  read_model(reader, *json, band);
  read_drives(reader, *json, band);
  if (const auto notes = json->find("notes"); notes != json->end() && notes->is_array()) {
    for (const Json& note : *notes) {
      if (note.is_string()) band.notes.push_back(note.get<std::string>());
    }
  }
  if (reader.complaint()) return *reader.complaint();
  band.extra_json = unknown_fields(*json);
  return band;
}

Result<NormalBand> read_band(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return text.error();
  return parse_band(*text, path);
}

} // namespace coolband
