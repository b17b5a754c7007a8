// SPDX-License-Identifier: Apache-2.0
// Reading `coolband.report/1`: what a job plan needs of it.
#include "cli/report_file.hpp"

#include "band/json_fields.hpp"
#include "cli/json_group.hpp"
#include "core/text_file.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <string_view>
#include <utility>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband::cli {

namespace {

using Json = nlohmann::ordered_json;
using Trips = std::vector<ReportedTrip>;

constexpr std::string_view k_report_schema = "coolband.report/1";
constexpr std::string_view k_kind = "coolband.report/";
constexpr const char* k_make_anew =
    "give what 'coolband check --format json' wrote, as it wrote it";
constexpr const char* k_blank = " \t\r\n";
constexpr Range k_share{0.0, 1.0};

template <std::size_t count, class Name>
std::array<std::string, count> names_of() {
  std::array<std::string, count> names;
  for (std::size_t i = 0; i < count; ++i) names[i] = std::string(name_of(static_cast<Name>(i)));
  return names;
}

void check_schema(JsonGroup& root) {
  std::optional<std::string> schema;
  root.text("schema", schema);
  if (schema == k_report_schema) return;
  if (!schema)
    root.complain("schema",
                  fmt::format("is missing, so this is no report (\"{}\")", k_report_schema),
                  k_make_anew);
  else if (schema->rfind(k_kind, 0) == 0)
    root.complain("schema",
                  fmt::format("is \"{}\", which this version does not know (it reads \"{}\")",
                              *schema, k_report_schema),
                  "use a newer coolband, or make the report anew with this one");
  else
    root.complain("schema",
                  fmt::format("is \"{}\", but \"{}\" is needed here", *schema, k_report_schema),
                  k_make_anew);
}

void require(JsonGroup& group, const char* key) {
  if (group.given() && !group.has(key)) group.complain(key, "is missing", k_make_anew);
}

void read_verdict(JsonGroup verdict, ReportedTrip& trip) {
  static const auto k_conditions =
      names_of<static_cast<std::size_t>(Condition::undetermined) + 1, Condition>();
  static const auto k_actions = names_of<static_cast<std::size_t>(Action::stop) + 1, Action>();
  for (const char* key : {"condition", "action", "confidence"}) require(verdict, key);
  if (const auto condition = verdict.one_of("condition", k_conditions))
    trip.condition = static_cast<Condition>(*condition);
  if (const auto action = verdict.one_of("action", k_actions))
    trip.action = static_cast<Action>(*action);
  verdict.number("confidence", trip.confidence, k_share);
  std::optional<std::string> headline;
  verdict.text("headline", headline);
  trip.headline = headline.value_or("");
}

void read_causes(JsonGroup& root, ReportedTrip& trip) {
  static const auto k_causes = names_of<k_cause_count, Condition>();
  for (JsonGroup& item : root.list("causes")) {
    for (const char* key : {"condition", "probability"}) require(item, key);
    RankedCause cause;
    if (const auto condition = item.one_of("condition", k_causes))
      cause.condition = static_cast<Condition>(*condition);
    item.number("probability", cause.probability, k_share);
    trip.causes.push_back(cause);
  }
  std::stable_sort(trip.causes.begin(), trip.causes.end(),
                   [](const auto& a, const auto& b) { return a.probability > b.probability; });
}

void read_trip(JsonGroup group, ReportedTrip& trip) {
  std::optional<std::string> source;
  std::optional<std::string> start;
  group.text("source", source);
  group.text("start", start);
  trip.source = source.value_or("");
  trip.start = start.value_or("");
}

void read_band(JsonGroup band, ReportedTrip& trip) {
  std::optional<std::string> origin;
  band.text("origin", origin);
  trip.band_learned = origin == "learned";
  band.number("opens_c", trip.band_opens_c);
  band.number("upper_c", trip.normal_to_c);
}

/// Where the fault showed, for drives that can show it again.
void read_situation(JsonGroup& root, ReportedTrip& trip) {
  static const auto k_directions =
      names_of<static_cast<std::size_t>(Direction::erratic) + 1, Direction>();
  std::vector<Episode> episodes;
  for (JsonGroup& item : root.list("episodes")) {
    Episode episode;
    std::optional<std::string> explained;
    if (const auto direction = item.one_of("direction", k_directions))
      episode.direction = static_cast<Direction>(*direction);
    item.number("start_s", episode.start_s);
    item.number("end_s", episode.end_s);
    item.number("mean_deviation_c", episode.mean_deviation_c);
    item.number("load_pct", episode.load_pct);
    item.number("ambient_c", episode.ambient_c);
    item.number("speed_kmh", episode.speed_kmh);
    item.text("explained_by", explained);
    if (explained) continue;
    episode.logged_s = episode.end_s - episode.start_s;
    episodes.push_back(episode);
  }
  const Episode* heaviest = heaviest_episode(episodes);
  if (heaviest == nullptr) return;
  std::optional<double> lower_c;
  root.group("band").number("lower_c", lower_c);
  const bool known = lower_c && trip.normal_to_c;
  trip.situation = situation_in(*heaviest, known ? 0.5 * (*trip.normal_to_c - *lower_c) : 0.0);
}

void read_columns(JsonGroup import, ReportedTrip& trip) {
  for (JsonGroup& column : import.list("columns")) {
    std::optional<std::string> role;
    column.text("role", role);
    if (role) trip.roles.push_back(*role);
  }
}

void read_limits(const Json& json, ReportedTrip& trip) {
  const auto verdict = json.find("verdict");
  if (verdict == json.end() || !verdict->is_object()) return;
  const auto limits = verdict->find("limits");
  if (limits == verdict->end() || !limits->is_array()) return;
  for (const Json& limit : *limits) {
    if (limit.is_string()) trip.limits.push_back(limit.get<std::string>());
  }
}

void read_job(const Json& json, JsonGroup job, ReportedTrip& trip) {
  if (!job.given()) return;
  for (const auto& [key, value] : json.find("job")->items()) {
    const bool too_long = value.is_number_unsigned() && value.get<std::uint64_t>() > INT64_MAX;
    if (value.is_string())
      trip.job.push_back({key, value.get<std::string>()});
    else if (value.is_number_integer() && !too_long)
      trip.job.push_back({key, value.get<std::int64_t>()});
    else if (value.is_number())
      trip.job.push_back({key, value.get<double>()});
    else if (!value.is_null())
      job.complain(key, "must be a text or a number", "write it as the job card has it");
  }
}

/// The report's own vehicle is a profile, once it has an id and the schema's name.
void read_vehicle(const Json& json, JsonGroup& root, ReportedTrip& trip) {
  JsonGroup vehicle = root.group("vehicle");
  std::optional<std::string> id;
  vehicle.text("id", id);
  trip.vehicle_id = id.value_or("");
  if (!id) return;
  Json profile = json["vehicle"];
  profile["schema"] = "coolband.vehicle/1";
  auto parsed = parse_profile(profile.dump(-1, ' ', false, Json::error_handler_t::replace), "");
  if (parsed)
    trip.profile = std::move(*parsed);
  else
    root.complain("vehicle", "is no profile: " + parsed.error().message, k_make_anew);
}

ReportedTrip read_report(const Json& json, JsonGroup root) {
  ReportedTrip trip;
  check_schema(root);
  require(root, "verdict");
  read_verdict(root.group("verdict"), trip);
  read_limits(json, trip);
  read_causes(root, trip);
  read_trip(root.group("trip"), trip);
  read_band(root.group("band"), trip);
  root.group("regulation").number("boiling_point_c", trip.boils_c);
  read_situation(root, trip);
  read_columns(root.group("import"), trip);
  read_job(json, root.group("job"), trip);
  read_vehicle(json, root, trip);
  return trip;
}

Error unreadable(Error error) {
  error.kind = ErrorKind::input;
  return error;
}

Error no_report(Error error) {
  error.remedy = k_make_anew;
  return unreadable(std::move(error));
}

Result<Trips> parse_document(const std::string& text, const std::string& name) {
  JsonComplaints complaints(name, text, Strangers::pass);
  const auto json = parse_json(text, name);
  if (!json) return no_report(json.error());
  Trips trips;
  if (json->is_object()) {
    trips.push_back(read_report(*json, {complaints, &*json, ""}));
  } else if (json->is_array() && !json->empty()) {
    for (std::size_t i = 0; i < json->size() && !complaints.first(); ++i) {
      const Json& item = (*json)[i];
      const std::string path = fmt::format("[{}]", i);
      if (item.is_object())
        trips.push_back(read_report(item, {complaints, &item, path}));
      else
        complaints.at(path, path + " must be an object: { ... }", k_make_anew);
    }
  } else {
    complaints.at(std::size_t{0}, "no report here", k_make_anew);
  }
  if (complaints.first()) return unreadable(*complaints.first());
  return trips;
}

/// JSON lines: the first line that is not blank is an object by itself, and there are more.
bool is_lines(const std::string& text) {
  const std::size_t from = text.find_first_not_of(k_blank);
  const std::size_t end = text.find('\n', from);
  if (from == std::string::npos || end == std::string::npos || text[from] != '{') return false;
  if (text.find_first_not_of(k_blank, end) == std::string::npos) return false;
  return Json::accept(text.begin() + static_cast<std::ptrdiff_t>(from),
                      text.begin() + static_cast<std::ptrdiff_t>(end));
}

Result<Trips> parse_lines(const std::string& text, const std::string& name) {
  Trips trips;
  std::size_t line = 0;
  for (std::size_t at = 0; at < text.size(); ++line) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const std::string one = text.substr(at, end - at);
    at = end + 1;
    if (one.find_first_not_of(k_blank) == std::string::npos) continue;
    auto parsed_line = parse_document(one, name);
    if (!parsed_line) {
      Error error = parsed_line.error();
      error.origin.line += line;
      return error;
    }
    std::move(parsed_line->begin(), parsed_line->end(), std::back_inserter(trips));
  }
  return trips;
}

} // namespace

Result<Trips> parse_reports(const std::string& text, const std::string& name) {
  if (text.find_first_not_of(k_blank) == std::string::npos)
    return Error{ErrorKind::input, {name, 1, 1}, "this is empty", "", k_make_anew};
  return is_lines(text) ? parse_lines(text, name) : parse_document(text, name);
}

Result<Trips> read_reports(const std::string& path) {
  const auto text = read_text_file(path == "-" ? "/dev/stdin" : path);
  if (text) return parse_reports(*text, path);
  Error error = unreadable(text.error());
  error.origin.file = path;
  return error;
}

} // namespace coolband::cli
