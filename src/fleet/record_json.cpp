// SPDX-License-Identifier: Apache-2.0
// Records as JSON and back.
#include "fleet/record_json.hpp"

#include "fleet/vehicle_record.hpp"
#include "report/json_parts.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view k_record_schema = "coolband.vehicle-record/1";

std::optional<double> number_in(const Json& json, const char* key) {
  const auto found = json.find(key);
  if (found == json.end() || found->is_null()) return std::nullopt;
  return found->get<double>();
}

template <class Name>
auto named_in(const Json& json, const char* key, Name last) {
  const std::string name = json.at(key).get<std::string>();
  for (int i = 0; i <= static_cast<int>(last); ++i) {
    if (name_of(static_cast<Name>(i)) == name) return static_cast<Name>(i);
  }
  throw std::runtime_error("unknown name");
}

Action action_in(const Json& json) { return named_in(json, "action", Action::stop); }
Condition condition_in(const Json& json) {
  return named_in(json, "condition", Condition::undetermined);
}

Json record_of_trip(const TripRecord& trip) {
  Json json;
  json["start"] = trip.start;
  json["start_s"] = maybe_number(trip.start_s);
  json["duration_s"] = trip.duration_s;
  json["distance_km"] = maybe_number(trip.distance_km);
  json["condition"] = name_of(trip.condition);
  json["confidence"] = trip.confidence;
  json["action"] = name_of(trip.action);
  json["headline"] = trip.headline;
  json["episodes"] = trip.episodes;
  json["unexplained"] = trip.unexplained;
  json["median_c"] = maybe_number(trip.median_c);
  json["hottest_c"] = maybe_number(trip.hottest_c);
  json["boiling_margin_c"] = maybe_number(trip.boiling_margin_c);
  json["share_in_band"] = maybe_number(trip.share_in_band);
  if (!trip.measures.empty()) json["measures"] = trip.measures;
  return json;
}

TripRecord trip_in(const Json& json) {
  TripRecord trip;
  trip.start = json.at("start");
  trip.start_s = number_in(json, "start_s");
  trip.duration_s = json.at("duration_s");
  trip.distance_km = number_in(json, "distance_km");
  trip.condition = condition_in(json);
  trip.confidence = json.at("confidence");
  trip.action = action_in(json);
  trip.headline = json.at("headline");
  trip.episodes = json.at("episodes");
  trip.unexplained = json.at("unexplained");
  trip.median_c = number_in(json, "median_c");
  trip.hottest_c = number_in(json, "hottest_c");
  trip.boiling_margin_c = number_in(json, "boiling_margin_c");
  trip.share_in_band = number_in(json, "share_in_band");
  trip.measures = json.value("measures", "");
  return trip;
}

Json record_of_log(const LogRecord& log) {
  Json json;
  json["path"] = log.path;
  json["stamp"] = {log.stamp.size, log.stamp.changed_ns, log.stamp.inode};
  json["fresh"] = log.fresh;
  json["hash"] = log.hash;
  json["rows_set_aside"] = log.rows_set_aside;
  json["trips"] = Json::array();
  for (const TripRecord& trip : log.trips) json["trips"].push_back(record_of_trip(trip));
  json["problems"] = problems_json(log.problems);
  return json;
}

LogRecord log_in(const Json& json) {
  LogRecord log;
  log.path = json.at("path");
  const Json& stamp = json.at("stamp");
  log.stamp = {stamp.at(0), stamp.at(1), stamp.at(2)};
  log.fresh = json.at("fresh");
  log.hash = json.at("hash");
  log.rows_set_aside = json.at("rows_set_aside");
  for (const Json& trip : json.at("trips")) log.trips.push_back(trip_in(trip));
  log.problems = problems_in(json.at("problems"));
  return log;
}

VehicleState state_in(const Json& json) {
  VehicleState state;
  state.action = action_in(json);
  state.condition = condition_in(json);
  state.confidence = json.at("confidence");
  state.boiling_margin_c = number_in(json, "boiling_margin_c");
  state.headline = json.at("headline");
  state.log = json.at("log");
  state.start = json.at("start");
  state.trips = json.at("trips");
  state.latest = json.at("latest");
  state.as_grave = json.at("as_grave");
  return state;
}

BandRecord band_in(const Json& json) {
  BandRecord band;
  band.source = named_in(json, "source", BandSource::own);
  band.path = json.at("path");
  band.drives = json.at("drives");
  band.centre_c = number_in(json, "centre_c");
  band.lower_c = number_in(json, "lower_c");
  band.upper_c = number_in(json, "upper_c");
  band.circuit = json.at("circuit");
  band.why_none = json.at("why_none");
  return band;
}

VehicleCourse course_in(const Json& json) {
  VehicleCourse course;
  course.group = json.at("group");
  for (const Json& day : json.at("services")) course.services.push_back(day);
  course.trend_p = number_in(json, "trend_p");
  for (std::size_t i = 0; i < k_likenesses; ++i)
    course.levels.at(i) =
        number_in(json.at("levels"), std::string(name_of(static_cast<Likeness>(i))).c_str());
  return course;
}

Json course_json(const VehicleCourse& course) {
  Json json;
  json["group"] = course.group;
  json["services"] = course.services;
  json["trend_p"] = maybe_number(course.trend_p);
  json["levels"] = Json::object();
  for (std::size_t i = 0; i < k_likenesses; ++i) {
    if (course.levels.at(i))
      json["levels"][std::string(name_of(static_cast<Likeness>(i)))] = *course.levels.at(i);
  }
  return json;
}

VehicleRecord vehicle_in(const Json& json) {
  VehicleRecord vehicle;
  if (json.at("schema") != k_record_schema) throw std::runtime_error("another schema");
  vehicle.id = json.at("id");
  vehicle.label = json.at("label");
  vehicle.key = json.at("key");
  vehicle.files = json.at("files");
  vehicle.run = json.at("run");
  if (!json.at("before").is_null()) vehicle.before = state_in(json.at("before"));
  vehicle.band = band_in(json.at("band"));
  vehicle.profile = json.at("profile");
  for (const Json& log : json.at("logs")) vehicle.logs.push_back(log_in(log));
  vehicle.problems = problems_in(json.at("problems"));
  vehicle.passed_over = json.at("passed_over");
  vehicle.state = state_in(json.at("state"));
  // Records of versions that kept no measures of trips have none; their key is another one.
  if (json.contains("course")) vehicle.course = course_in(json.at("course"));
  return vehicle;
}

} // namespace

Json maybe_number(const std::optional<double>& value) {
  return value && std::isfinite(*value) ? Json(*value) : Json(nullptr);
}

Json problems_json(const std::vector<Problem>& problems) {
  Json list = Json::array();
  for (const Problem& problem : problems) {
    list.push_back({{"path", problem.path},
                    {"line", problem.line},
                    {"column", problem.column},
                    {"message", problem.message},
                    {"remedy", problem.remedy}});
  }
  return list;
}

std::vector<Problem> problems_in(const Json& list) {
  std::vector<Problem> problems;
  for (const Json& json : list)
    problems.push_back({json.at("path"), json.at("line"), json.at("column"), json.at("message"),
                        json.at("remedy")});
  return problems;
}

Json state_json(const VehicleState& state) {
  Json json;
  json["action"] = name_of(state.action);
  json["condition"] = name_of(state.condition);
  json["confidence"] = state.confidence;
  json["boiling_margin_c"] = maybe_number(state.boiling_margin_c);
  json["headline"] = state.headline;
  json["log"] = state.log;
  json["start"] = state.start;
  json["trips"] = state.trips;
  json["latest"] = state.latest;
  json["as_grave"] = state.as_grave;
  return json;
}

Json band_json(const BandRecord& band) {
  Json json;
  json["source"] = name_of(band.source);
  json["path"] = band.path;
  json["drives"] = band.drives;
  json["centre_c"] = maybe_number(band.centre_c);
  json["lower_c"] = maybe_number(band.lower_c);
  json["upper_c"] = maybe_number(band.upper_c);
  json["circuit"] = band.circuit;
  json["why_none"] = band.why_none;
  return json;
}

std::string id_as_written(const std::string& id) {
  return Json::parse(json_text(Json(id), -1)).get<std::string>();
}

std::string record_json(const VehicleRecord& vehicle) {
  Json json;
  json["schema"] = k_record_schema;
  json["id"] = vehicle.id;
  json["label"] = vehicle.label;
  json["key"] = vehicle.key;
  json["files"] = vehicle.files;
  json["run"] = vehicle.run;
  json["before"] = vehicle.before ? state_json(*vehicle.before) : Json(nullptr);
  json["band"] = band_json(vehicle.band);
  json["profile"] = vehicle.profile;
  json["logs"] = Json::array();
  for (const LogRecord& log : vehicle.logs) json["logs"].push_back(record_of_log(log));
  json["problems"] = problems_json(vehicle.problems);
  json["passed_over"] = vehicle.passed_over;
  json["state"] = state_json(vehicle.state);
  json["course"] = course_json(vehicle.course);
  return json_text(json, -1);
}

Result<VehicleRecord> parse_record(std::string_view text) {
  // The only exceptions are the library's, for a record that is not what this version writes.
  try {
    return vehicle_in(Json::parse(text));
  } catch (const std::exception& error) {
    return Error{ErrorKind::input, {}, error.what(), "", ""};
  }
}

} // namespace coolband
