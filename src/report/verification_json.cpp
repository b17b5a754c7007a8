// SPDX-License-Identifier: Apache-2.0
// `coolband.verify/1`: ordered keys, absent knowledge is null.
#include "coolband/version.hpp"

#include "repair/proof_words.hpp"
#include "report/job_words.hpp"
#include "report/json_parts.hpp"
#include "report/verification_report.hpp"

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

Json interval(double low, double high) {
  const Json from = rounded(low);
  const Json to = rounded(high);
  return from.is_null() || to.is_null() ? Json(nullptr) : Json::array({from, to});
}

Json test_json(const Equivalence& test) {
  return {{"difference_k", rounded(test.difference)},
          {"error_k", rounded(test.error)},
          {"interval_k", interval(test.low, test.high)},
          {"freedom", rounded(test.freedom)},
          {"p", rounded(test.p(), 6)}};
}

Json band_json(const NormalBand& band) {
  return {{"drives", band.drive_count()},
          {"centre_c", rounded(band.centre_c)},
          {"lower_c", rounded(band.centre_c - band.half_width_c)},
          {"upper_c", rounded(band.centre_c + band.half_width_c)},
          {"between_drives_k", rounded(band.between_c)},
          {"since", text_or_null(band.since)}};
}

Json verdict_json(const Verification& v) {
  Json checks = Json::array();
  for (const CheckLine& check : v.checks)
    checks.push_back({{"check", check.name},
                      {"state", check.state ? Json(name_of(*check.state)) : Json(nullptr)},
                      {"text", check.text}});
  return {{"state", name_of(v.state)},
          {"headline", v.headline},
          {"reasons", v.reasons},
          {"checks", checks},
          {"limits", v.limits}};
}

Json fault_json(const FaultCheck& fault, double allowed) {
  Json json;
  json["known"] = fault.known();
  json["conditions"] = Json::array();
  for (const Condition condition : fault.before)
    json["conditions"].push_back(std::string(name_of(condition)));
  json["before"] = {{"shown", fault.rate.shown},
                    {"able", fault.rate.able},
                    {"share_interval",
                     fault.share ? interval(fault.share->low, fault.share->high) : Json(nullptr)},
                    {"share_given", maybe(fault.rate.share)}};
  json["after"] = {{"show", fault.shows.size()},
                   {"clean_and_able", fault.clean},
                   {"not_able", fault.unable},
                   {"doubtful", fault.doubtful}};
  json["trace_nats"] = maybe(fault.trace);
  json["trace_drives"] = fault.trace_drives;
  json["missed_chance"] = maybe(fault.missed, 6);
  json["allowed_chance"] = rounded(allowed, 6);
  json["more_drives"] = fault.more ? Json(*fault.more) : Json(nullptr);
  json["telling_drive"] = text_or_null(fault.wanted);
  return json;
}

Json level_json(const LevelCheck& level, const std::optional<MovedNormal>& moved) {
  Json json;
  json["outcome"] = name_of(level.outcome);
  json["margin_k"] = rounded(level.margin_k);
  json["drives"] = level.drives;
  json["level_c"] = maybe(level.level_c);
  json["before_against_band"] = level.before ? test_json(*level.before) : Json(nullptr);
  json["against_band"] = level.drives > 0 ? test_json(level.against_band) : Json(nullptr);
  json["change"] = level.change ? test_json(*level.change) : Json(nullptr);
  json["more_drives"] = level.more;
  json["judged_by_moved_band"] = level.by_moved;
  json["band_of_since_the_fault"] = level.by_itself;
  json["moved_level_c"] = moved ? rounded(moved->level_c) : Json(nullptr);
  json["objection"] = text_or_null(level.objection);
  return json;
}

Json running_json(const WarmUpCheck& warm_up) {
  return {{"outcome", name_of(warm_up.outcome)},
          {"seen", warm_up.seen},
          {"endless", warm_up.endless},
          {"ratio", maybe(warm_up.ratio)},
          {"ratio_interval", warm_up.ratio_interval ? interval(warm_up.ratio_interval->low,
                                                               warm_up.ratio_interval->high)
                                                    : Json(nullptr)},
          {"allowed_ratio", rounded(warm_up.allowed_ratio)},
          {"shut_pace", maybe(warm_up.pace)},
          {"shut_pace_interval",
           warm_up.pace_interval ? interval(warm_up.pace_interval->low, warm_up.pace_interval->high)
                                 : Json(nullptr)},
          {"shut_pace_drives", warm_up.paced}};
}

Json warm_up_json(const std::optional<ProofWarmUp>& warm_up) {
  if (!warm_up) return nullptr;
  return {{"from_c", rounded(warm_up->from_c)},
          {"reached_regulation_s", maybe(warm_up->reached_s)},
          {"expected_s", rounded(warm_up->expected_s)}};
}

Json drive_json(const ProofDrive& drive, const char* when) {
  Json json;
  json["when"] = when;
  json["source"] = drive.source;
  json["start"] = text_or_null(drive.start);
  json["condition"] = name_of(drive.condition);
  json["confidence"] = rounded(drive.confidence);
  json["action"] = name_of(drive.action);
  json["headline"] = drive.headline;
  json["showing"] = name_of(drive.showing);
  json["learned_into_band"] = drive.learned;
  json["not_able_because"] = text_or_null(why_not_able(drive));
  json["judged_s"] = rounded(drive.judged_s);
  json["level_c"] = maybe(drive.level_c);
  json["residual_k"] = maybe(drive.residual_k);
  json["hottest_c"] = maybe(drive.hottest_c);
  json["ambient_c"] = maybe(drive.ambient_c);
  json["warm_up"] = warm_up_json(drive.warm_up);
  json["opened_at_c"] = maybe(drive.opened_c);
  json["swing_k"] = maybe(drive.amplitude_k);
  json["dips"] = drive.dips;
  json["dips_while_shut"] = drive.dips_shut;
  return json;
}

} // namespace

std::string render_verification_json(const VerificationReport& report, int indent) {
  const Verification& v = report.verification;
  Json json;
  json["schema"] = "coolband.verify/1";
  json["tool"] = {{"name", "coolband"}, {"version", version()}};
  json["vehicle"] = {{"id", text_or_null(report.vehicle)}};
  if (!report.job.empty()) json["job"] = job_json(report.job);
  json["band"] = band_json(report.band);
  json["verdict"] = verdict_json(v);
  json["fault"] = fault_json(v.fault, v.options.allowed_miss);
  json["level"] = level_json(v.level, v.drives.moved);
  json["warm_up"] = running_json(v.warm_up);
  json["air"] = {
      {"signs", v.air.signs}, {"recent", v.air.recent}, {"drift_k", maybe(v.air.drift_k)}};
  json["drives"] = Json::array();
  for (const ProofDrive& drive : v.drives.before)
    json["drives"].push_back(drive_json(drive, "before"));
  for (const ProofDrive& drive : judged_after(v))
    json["drives"].push_back(drive_json(drive, "after"));
  json["logs_not_read"] = v.drives.unread;
  json["next_steps"] = v.next_steps;
  json["cautions"] = v.cautions;
  return json_text(json, indent);
}

} // namespace coolband
