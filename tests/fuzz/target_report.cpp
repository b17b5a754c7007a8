// SPDX-License-Identifier: Apache-2.0
// Reports that are read back: one, a list of them, one a line; and the jobs that are planned.
#include "cli/report_file.hpp"
#include "fuzz/file_properties.hpp"
#include "fuzz/properties.hpp"
#include "report/plan_report.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

namespace coolband::testing {

namespace {

using Json = nlohmann::ordered_json;
using Trips = std::vector<ReportedTrip>;

const std::string k_report_name = "report.json";

void tell_job(Told& told, const JobCard& job) {
  for (const JobField& field : job) {
    told.word(field.key);
    if (const auto* text = std::get_if<std::string>(&field.value)) told.word(*text);
    if (const auto* whole = std::get_if<std::int64_t>(&field.value))
      told.word(std::to_string(*whole));
    if (const auto* number = std::get_if<double>(&field.value)) told.number(*number);
  }
}

void tell_trip(Told& told, const ReportedTrip& trip) {
  for (const std::string& text : {trip.vehicle_id, trip.source, trip.start, trip.headline})
    told.word(text);
  told.word(name_of(trip.condition));
  told.word(name_of(trip.action));
  told.number(trip.confidence);
  for (const std::string& limit : trip.limits) told.word(limit);
  for (const RankedCause& cause : trip.causes) {
    told.word(name_of(cause.condition));
    told.number(cause.probability);
  }
  told.word(trip.band_learned ? "learned" : "stands in");
  told.number(trip.band_opens_c);
  for (const std::string& role : trip.roles) told.word(role);
  tell_job(told, trip.job);
  told.word(trip.profile ? trip.profile->id : "(no profile)");
  if (!trip.profile) return;
  told.maybe_word(trip.profile->label);
  told.number(trip.profile->thermostat_opens_c);
  told.number(trip.profile->cap_kpa);
}

Told told_of(const Trips& trips) {
  Told told;
  for (const ReportedTrip& trip : trips) tell_trip(told, trip);
  told.require_finite();
  return told;
}

Json job_json(const JobCard& job) {
  Json json = Json::object();
  for (const JobField& field : job)
    std::visit([&](const auto& value) { json[field.key] = value; }, field.value);
  return json;
}

/// The parts of a report that a plan is made from.
Json report_json(const ReportedTrip& trip) {
  Json causes = Json::array();
  for (const RankedCause& cause : trip.causes)
    causes.push_back({{"condition", name_of(cause.condition)}, {"probability", cause.probability}});
  Json columns = Json::array();
  for (const std::string& role : trip.roles) columns.push_back({{"role", role}});
  Json json;
  json["schema"] = "coolband.report/1";
  json["trip"] = {{"source", trip.source}, {"start", trip.start}};
  json["verdict"] = {{"condition", name_of(trip.condition)},
                     {"action", name_of(trip.action)},
                     {"confidence", trip.confidence},
                     {"headline", trip.headline},
                     {"limits", trip.limits}};
  json["causes"] = std::move(causes);
  json["band"] = {{"origin", trip.band_learned ? "learned" : "profile"}};
  if (trip.band_opens_c) json["band"]["opens_c"] = *trip.band_opens_c;
  json["import"] = {{"columns", std::move(columns)}};
  json["job"] = job_json(trip.job);
  if (trip.profile) json["vehicle"] = Json::parse(trip.profile->json);
  return json;
}

void check_same(const std::string& text, const Told& first, const std::string& how) {
  const auto again = cli::parse_reports(text, k_report_name);
  require(again.ok(),
          "reports can be read " + how + ": " + (again ? std::string() : describe(again.error())));
  told_of(*again).require_same(first, how);
}

void check_shapes(const Trips& trips) {
  const Told first = told_of(trips);
  Json all = Json::array();
  std::string lines;
  for (const ReportedTrip& trip : trips) {
    all.push_back(report_json(trip));
    lines += all.back().dump() + "\n";
  }
  check_same(all.dump(2), first, "as a list");
  check_same(lines, first, "one a line");
}

void check_plan(const Trips& trips) {
  const auto plan = plan_job(trips, {});
  if (!plan) return check_error(plan.error());
  const auto json = Json::parse(render_plan_json(*plan, -1), nullptr, false);
  require(json.is_object(), "a plan is written as JSON");
  require(!render_plan(*plan, {}).empty(), "a plan has words");
  require(!render_plan_html(*plan).empty(), "a plan has a page");
}

} // namespace

void run_report(std::string_view bytes) {
  const std::string text(bytes);
  const auto trips = cli::parse_reports(text, k_report_name);
  if (!trips) return check_file_error(trips.error(), text, k_report_name);
  require(!trips->empty(), "reports hold a trip");
  check_shapes(*trips);
  check_plan(*trips);
}

} // namespace coolband::testing
