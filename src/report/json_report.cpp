// SPDX-License-Identifier: Apache-2.0
// `coolband.report/1`: ordered keys, absent knowledge is null.
#include "coolband/report/report.hpp"

#include "coolband/version.hpp"
#include "report/explanation.hpp"
#include "report/job_words.hpp"
#include "report/json_parts.hpp"
#include "report/reading_words.hpp"

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

Json vehicle_json(const TripReport& report) {
  Json json;
  const std::string id = vehicle_id(report);
  json["id"] = id.empty() ? Json(nullptr) : Json(id);
  if (report.profile && !report.profile->json.empty()) {
    const Json profile = Json::parse(report.profile->json);
    for (const auto& [key, value] : profile.items()) {
      if (key != "schema" && key != "id") json[key] = value;
    }
  }
  return json;
}

Json band_json(const TripFinding& finding) {
  const NormalBand nothing;
  const bool known = finding.band.has_value();
  const NormalBand& band = known ? *finding.band : nothing;
  const auto if_known = [&](double value) { return known ? rounded(value) : Json(nullptr); };
  Json json;
  json["origin"] = known ? name_of(band.origin) : name_of(BandOrigin::trip);
  json["drives"] = band.drive_count();
  json["centre_c"] = if_known(band.centre_c);
  json["spread_c"] = if_known(band.spread_c());
  json["load_c_per_pct"] = maybe(band.load_c_per_pct, 5);
  json["ambient_c_per_c"] = maybe(band.ambient_c_per_c, 5);
  json["reference"] = {{"load_pct", maybe(band.reference_load_pct)},
                       {"ambient_c", maybe(band.reference_ambient_c)}};
  json["load_lag_s"] = if_known(band.load_lag_s);
  json["opens_c"] = maybe(band.opens_c);
  json["lower_c"] = if_known(band.centre_c - band.half_width_c);
  json["upper_c"] = if_known(band.centre_c + band.half_width_c);
  return json;
}

Json verdict_json(const Judgement& judgement) {
  Json json;
  json["condition"] = name_of(judgement.condition);
  json["confidence"] = rounded(judgement.confidence);
  json["action"] = name_of(judgement.action);
  json["headline"] = judgement.headline;
  json["reasons"] = judgement.reasons;
  json["limits"] = judgement.limits;
  return json;
}

Json causes_json(const Judgement& judgement) {
  Json list = Json::array();
  for (const Cause& cause : judgement.causes) {
    list.push_back({{"condition", name_of(cause.condition)},
                    {"probability", rounded(cause.probability, 6)},
                    {"for", cause.evidence_for},
                    {"against", cause.evidence_against},
                    {"confirm_by", cause.confirm_by}});
  }
  return list;
}

Json episode_json(const Recording& recording, const Trip& trip, const Episode& e) {
  Json json;
  json["start_s"] = rounded(e.start_s);
  json["end_s"] = rounded(e.end_s);
  json["start"] = instant(recording, trip.start_s + e.start_s);
  json["end"] = instant(recording, trip.start_s + e.end_s);
  json["first_row"] = recording.row_map.at(e.first_row).row;
  json["last_row"] = recording.row_map.at(e.last_row).row;
  json["direction"] = name_of(e.direction);
  json["extreme_c"] = rounded(e.extreme_c);
  json["worst_deviation_c"] = rounded(e.worst_deviation_c);
  json["mean_deviation_c"] = rounded(e.mean_deviation_c);
  json["cause"] = name_of(e.cause);
  json["confidence"] = rounded(e.confidence);
  json["explained_by"] =
      e.explained_by == Explanation::none ? Json(nullptr) : Json(name_of(e.explained_by));
  json["load_pct"] = maybe(e.load_pct);
  json["ambient_c"] = maybe(e.ambient_c);
  json["speed_kmh"] = maybe(e.speed_kmh);
  return json;
}

Json criterion_json(const RegulationCheck& check) {
  return {{"nominal_c", maybe(check.nominal_c)}, {"nominal_from", name_of(check.nominal_from)},
          {"limit_c", maybe(check.limit_c)},     {"reached_c", maybe(check.reached_c)},
          {"outcome", name_of(check.outcome)},   {"because", check.because}};
}

Json regulation_json(const Judgement& j) {
  Json json;
  json["share_in_band"] = maybe(j.share_in_band);
  json["median_c"] = maybe(j.median_c);
  json["p05_c"] = maybe(j.p05_c);
  json["p95_c"] = maybe(j.p95_c);
  json["hottest_c"] = maybe(j.hottest_c);
  json["boiling_point_c"] = maybe(j.boiling.point_c);
  json["boiling_margin_c"] = maybe(j.boiling.margin_c);
  json["judged_s"] = rounded(j.judged_s);
  json["criterion"] = criterion_json(j.regulation);
  return json;
}

Json gauge_json(const Judgement& judgement) {
  const auto hidden = hidden_from_dash_needle(judgement);
  Json json;
  json["hidden_from_dash_needle"] = hidden ? Json(*hidden) : Json(nullptr);
  json["note"] = !hidden   ? "no unexplained episode to hide"
                 : *hidden ? "every reading of the episodes lies between 70 and 90 °C, where a "
                             "typical needle does not move"
                           : "readings outside 70 to 90 °C: a needle would have moved";
  return json;
}

Json codes_json(const Judgement& judgement) {
  Json list = Json::array();
  for (const StandardCode& code : judgement.codes) {
    list.push_back(
        {{"system", code.system}, {"code", code.code}, {"title", code.title}, {"why", code.why}});
  }
  return list;
}

} // namespace

std::string render_json(const TripReport& report, int indent) {
  const Judgement& judgement = report.finding.judgement;
  const Trip& trip = report.finding.trip;
  Json json;
  json["schema"] = "coolband.report/1";
  json["tool"] = {{"name", "coolband"}, {"version", version()}};
  json["vehicle"] = vehicle_json(report);
  if (!report.job.empty()) json["job"] = job_json(report.job);
  json["trip"] = trip_json(report.recording, trip);
  json["import"] = import_json(report.recording.how);
  json["band"] = band_json(report.finding);
  json["verdict"] = verdict_json(judgement);
  json["causes"] = causes_json(judgement);
  json["episodes"] = Json::array();
  for (const Episode& episode : judgement.episodes) {
    json["episodes"].push_back(episode_json(report.recording, trip, episode));
  }
  json["warm_ups"] = warm_ups_json(trip, report.finding.band ? &*report.finding.band : nullptr);
  json["regulation"] = regulation_json(judgement);
  json["gauge"] = gauge_json(judgement);
  json["codes"] = codes_json(judgement);
  json["next_steps"] = report.advice.next_steps;
  json["cautions"] = report.advice.cautions;
  if (report.explain) json["explanation"] = explanation_json(report);
  return json_text(json, indent);
}

} // namespace coolband
