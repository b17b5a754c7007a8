// SPDX-License-Identifier: Apache-2.0
// Ordered keys; what is not known has no key among the kept trips, and is null in results.
#include "fleet/trend_json.hpp"

#include "fleet/record_json.hpp"
#include "fleet/trend_words.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

constexpr Range k_seconds{0.0, 1e10};
constexpr Range k_share{0.0, 1.0};

void put(Json& json, const char* key, const std::optional<double>& value) {
  if (value) json[key] = *value;
}

void put(Json& json, const char* key, const std::string& text) {
  if (!text.empty()) json[key] = text;
}

Json measured_json(const Measured& measured) {
  Json json{{"value", measured.value}, {"error", measured.error}};
  put(json, "beyond_band", measured.beyond_band);
  return json;
}

Json measures_json(const TripMeasures& trip) {
  Json json = Json::object();
  for (const Measure measure : all_measures()) {
    const auto& told = trip.of(measure);
    const std::string& lacks = trip.lacks[static_cast<std::size_t>(measure)];
    if (told)
      json[name_of(measure)] = measured_json(*told);
    else
      json[name_of(measure)] = {{"lacks", lacks}};
  }
  return json;
}

/// The value of an enumeration with this name; a complaint and `usual` where there is none.
template <class Value>
Value named(FieldReader& reader, const Json& json, const char* key, Value last, Value usual) {
  const auto name = reader.text(json, key);
  if (!name) return usual;
  for (int i = 0; i <= static_cast<int>(last); ++i) {
    if (name_of(static_cast<Value>(i)) == *name) return static_cast<Value>(i);
  }
  reader.complain(key, "is none of the names of this version");
  return usual;
}

void measure_from(FieldReader& reader, const Json& json, Measure measure, TripMeasures& trip) {
  const auto i = static_cast<std::size_t>(measure);
  const auto found = json.find(name_of(measure));
  if (found == json.end() || !found->is_object()) {
    trip.lacks[i] = "not measured";
    return;
  }
  const auto value = reader.number(*found, "value", k_any);
  if (!value) {
    trip.lacks[i] = reader.text(*found, "lacks").value_or("not measured");
    return;
  }
  trip.measures[i] = Measured{*value, reader.required_number(*found, "error", k_positive),
                              reader.number(*found, "beyond_band", k_any)};
}

bool flag_from(FieldReader& reader, const Json& json, const char* key) {
  const auto found = json.find(key);
  if (found == json.end()) return false;
  if (!found->is_boolean()) {
    reader.complain(key, "must be true or false");
    return false;
  }
  return found->get<bool>();
}

void verdict_from(FieldReader& reader, const Json& json, TripMeasures& trip) {
  trip.share_in_band = reader.number(json, "share_in_band", k_share);
  trip.hottest_c = reader.number(json, "hottest_c", k_reading_c);
  trip.boiling_margin_k = reader.number(json, "boiling_margin_k", k_any);
  trip.condition =
      named(reader, json, "condition", Condition::undetermined, Condition::undetermined);
  trip.action = named(reader, json, "action", Action::stop, Action::none);
  trip.left_band = flag_from(reader, json, "left_band");
  trip.unfit = reader.text(json, "unfit").value_or("");
}

Json slope_json(const std::optional<TrendSlope>& slope) {
  if (!slope) return nullptr;
  return {{"slope", slope->slope}, {"error", slope->error}};
}

Json measure_json(const MeasureTrend& trend) {
  Json json{{"measure", name_of(trend.measure)},
            {"unit", unit_of(trend.measure)},
            {"trips", trend.trips}};
  if (!trend.lacks.empty()) {
    json["lacks"] = trend.lacks;
    return json;
  }
  json["p"] = trend.p;
  json["trips_to_false_alarm"] = std::round(trend.run_length);
  json["direction"] = trend.upward ? "up" : "down";
  json["since"] = trend.since.empty() ? Json(nullptr) : Json(trend.since);
  json["days"] = maybe_number(trend.days);
  json["trips_since"] = trend.trips_since;
  json["before"] = trend.before;
  json["change"] = trend.change;
  json["change_error"] = trend.change_error;
  json["per_100_days"] = slope_json(trend.per_100_days);
  json["per_1000_h"] = slope_json(trend.per_1000_h);
  json["per_100_trips"] = slope_json(trend.per_100_trips);
  return json;
}

} // namespace

Json trip_measures_json(const TripMeasures& trip) {
  Json json;
  json["source"] = trip.source;
  put(json, "start", trip.start);
  json["duration_s"] = trip.duration_s;
  json["judged_s"] = trip.judged_s;
  put(json, "sensor", trip.sensor);
  json["band"] = name_of(trip.band);
  put(json, "since", trip.since);
  json["measures"] = measures_json(trip);
  put(json, "ambient_c", trip.ambient_c);
  put(json, "load_pct", trip.load_pct);
  put(json, "share_in_band", trip.share_in_band);
  put(json, "hottest_c", trip.hottest_c);
  put(json, "boiling_margin_k", trip.boiling_margin_k);
  json["condition"] = name_of(trip.condition);
  json["action"] = name_of(trip.action);
  if (trip.left_band) json["left_band"] = true;
  put(json, "unfit", trip.unfit);
  return json;
}

TripMeasures trip_measures_from(FieldReader& reader, const Json& json) {
  TripMeasures trip;
  if (!json.is_object()) {
    reader.complain("trip", "must be an object");
    return trip;
  }
  trip.source = reader.required_text(json, "source");
  trip.start = reader.text(json, "start").value_or("");
  trip.duration_s = reader.required_number(json, "duration_s", k_seconds);
  trip.judged_s = reader.required_number(json, "judged_s", k_seconds);
  trip.sensor = reader.text(json, "sensor").value_or("");
  trip.band = named(reader, json, "band", BandOrigin::trip, BandOrigin::trip);
  trip.since = reader.text(json, "since").value_or("");
  const auto found = json.find("measures");
  const bool told = found != json.end() && found->is_object();
  if (!told) reader.complain("measures", "must be an object");
  for (const Measure measure : all_measures())
    measure_from(reader, told ? *found : Json::object(), measure, trip);
  trip.ambient_c = reader.number(json, "ambient_c", k_reading_c);
  trip.load_pct = reader.number(json, "load_pct", k_any);
  verdict_from(reader, json, trip);
  return trip;
}

Json trend_json(const VehicleTrend& trend, const std::vector<Measure>& believed_measures) {
  Json json;
  json["trips"] = trend.trips;
  json["unfit"] = trend.unfit;
  json["other_sensor"] = trend.other_sensor;
  json["before_service"] = trend.before;
  json["baseline_from"] = trend.baseline_from.empty() ? Json(nullptr) : Json(trend.baseline_from);
  json["p"] = std::isnan(trend.p) ? Json(nullptr) : Json(trend.p);
  Json measures = Json::array();
  for (const MeasureTrend& measure : trend.measures) measures.push_back(measure_json(measure));
  json["measures"] = std::move(measures);
  json["words"] = trend_words(trend, believed_measures);
  return json;
}

std::string trip_measures_text(const TripMeasures& trip) {
  // A name of a file need not be good UTF-8.
  return trip_measures_json(trip).dump(-1, ' ', false, Json::error_handler_t::replace);
}

Result<TripMeasures> parse_trip_measures(const std::string& text, const std::string& name) {
  const auto json = parse_object(text, name, "the measures of a trip: { ... }");
  if (!json) return json.error();
  FieldReader reader(name);
  TripMeasures trip = trip_measures_from(reader, *json);
  if (reader.complaint()) return *reader.complaint();
  return trip;
}

Json siblings_json(const AmongSiblings& vehicle,
                   const std::vector<SiblingDistance>& believed_distances) {
  Json json;
  json["p"] = std::isnan(vehicle.p) ? Json(nullptr) : Json(vehicle.p);
  Json distances = Json::array();
  for (const SiblingDistance& distance : vehicle.distances) {
    distances.push_back({{"measure", name_of(distance.likeness)},
                         {"unit", unit_of(distance.likeness)},
                         {"others", distance.others},
                         {"usual", distance.usual},
                         {"distance", distance.distance},
                         {"spread", distance.spread},
                         {"p", distance.p}});
  }
  json["measures"] = std::move(distances);
  Json words = Json::array();
  for (const SiblingDistance& distance : believed_distances) words.push_back(words_of(distance));
  json["words"] = std::move(words);
  return json;
}

} // namespace coolband
