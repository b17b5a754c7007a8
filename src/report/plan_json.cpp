// SPDX-License-Identifier: Apache-2.0
// The job plan as `coolband.plan/1`.
#include "coolband/version.hpp"

#include "report/coolant_words.hpp"
#include "report/job_words.hpp"
#include "report/json_parts.hpp"
#include "report/plan_report.hpp"

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

Json planned_vehicle_json(const JobPlan& plan) {
  const auto& profile = plan.trip.profile;
  return {{"id", text_or_null(plan.trip.vehicle_id)},
          {"label", profile && profile->label ? Json(*profile->label) : Json(nullptr)},
          {"odometer_km", maybe(plan.facts.odometer_km)}};
}

Json report_json(const JobPlan& plan) {
  const ReportedTrip& trip = plan.trip;
  Json json{{"source", text_or_null(trip.source)},
            {"start", text_or_null(trip.start)},
            {"trip", plan.trip_index + 1},
            {"trips", plan.trips},
            {"other_alarms", Json::array()},
            {"condition", name_of(trip.condition)},
            {"confidence", rounded(trip.confidence)},
            {"action", name_of(trip.action)},
            {"headline", trip.headline}};
  for (const std::size_t i : plan.other_alarms) json["other_alarms"].push_back(i + 1);
  return json;
}

Json hazards_json(const std::vector<Hazard>& hazards) {
  Json list = Json::array();
  for (const Hazard hazard : hazards) list.push_back(name_of(hazard));
  return list;
}

Json finds_json(const ConfirmingCheck& check) {
  Json json = Json::object();
  for (std::size_t c = 0; c < k_cause_count; ++c) {
    if (check.finds[c] > 0.0)
      json[std::string(name_of(static_cast<Condition>(c)))] = check.finds[c];
  }
  return json;
}

Json checks_json(const JobPlan& plan) {
  Json list = Json::array();
  const bool ranked = plan.purpose != JobPurpose::watch;
  for (const PlannedCheck& planned : plan.checks.checks) {
    const ConfirmingCheck& check = planned.check;
    list.push_back({{"id", check.id},
                    {"title", check.title},
                    {"how", check.how},
                    {"shows", check.shows},
                    {"tools", text_or_null(check.tools)},
                    {"minutes", rounded(check.minutes)},
                    {"engine", name_of(check.engine)},
                    {"settles", ranked ? rounded(planned.settles, 4) : Json(nullptr)},
                    {"finds", finds_json(check)},
                    {"cautions", hazards_json(check.hazards)}});
  }
  return list;
}

Json parts_json(const JobPlan& plan) {
  Json list = Json::array();
  for (const PlannedPart& part : plan.parts) {
    list.push_back({{"id", part.kind.id},
                    {"name", part.kind.name},
                    {"quantity", maybe(part.quantity)},
                    {"unit", text_or_null(std::string(part.kind.unit))},
                    {"need", name_of(part.need)},
                    {"note", text_or_null(part.note)},
                    {"price", maybe(part.price)}});
  }
  return list;
}

Json costs_json(const JobPlan& plan) {
  if (!plan.costs) return nullptr;
  return {{"currency", text_or_null(plan.costs->currency)},
          {"needed", rounded(plan.costs->needed)},
          {"if_found_bad", rounded(plan.costs->if_found_bad)},
          {"labour", maybe(plan.costs->labour)},
          {"unpriced", plan.costs->unpriced}};
}

Json refill_json(const JobCoolant& coolant) {
  if (!coolant.refill) return nullptr;
  return {{"drain_l", rounded(coolant.refill->drain_l)},
          {"more_to_drain_l", rounded(coolant.refill->more_to_drain_l)},
          {"product_l", rounded(coolant.refill->product_l)},
          {"water_l", rounded(coolant.refill->water_l)}};
}

Json coolant_json(const JobPlan& plan) {
  if (!plan.coolant) return nullptr;
  const JobCoolant& coolant = *plan.coolant;
  return {{"glycol", plan.facts.glycol ? Json(name_of(*plan.facts.glycol)) : Json(nullptr)},
          {"capacity_l", maybe(coolant.capacity_l)},
          {"drained_l", maybe(coolant.drained_l)},
          {"drained_from", name_of(coolant.drained_from)},
          {"flushed", coolant.flushed},
          {"flush_l", maybe(coolant.flush_l)},
          {"present_vol_pct", rounded(coolant.present_pct)},
          {"present_from", name_of(coolant.present_from)},
          {"target_vol_pct", rounded(coolant.target_pct)},
          {"product_vol_pct", rounded(coolant.product_pct)},
          {"freezes_from_c", maybe(coolant.freezes_c)},
          {"refill", refill_json(coolant)},
          {"missing", coolant.missing},
          {"notes", coolant.notes}};
}

Json fasteners_json(const JobPlan& plan) {
  Json groups = Json::array();
  for (const FastenerGroup& group : plan.fasteners)
    groups.push_back({{"what", group.what}, {"note", text_or_null(group.note)}});
  Json ranges = Json::array();
  for (const TorqueRange& range : torque_ranges())
    ranges.push_back({{"size", "M" + std::to_string(range.size_mm)},
                      {"class", "8.8"},
                      {"least_nm", range.least_nm},
                      {"most_nm", range.most_nm},
                      {"oiled_nm", range.oiled_nm},
                      {"cast_aluminium_nm", range.aluminium_nm}});
  return {{"count_off", groups},
          {"torque", "only the vehicle maker's figure"},
          {"plain_bolt_ranges", plan.fasteners.empty() ? Json::array() : ranges},
          {"ranges_source", "common practice, no source"}};
}

Json life_json(const TogetherPart& part) {
  if (!part.life) return nullptr;
  return {{"life_km", rounded(part.life->life_km)},
          {"shape", rounded(part.life->shape)},
          {"fitted_km", maybe(part.life->fitted_km)}};
}

Json together_json(const JobPlan& plan) {
  Json list = Json::array();
  for (const TogetherPart& part : plan.together) {
    list.push_back({{"id", part.kind.id},
                    {"extra_minutes", rounded(part.extra_min)},
                    {"alone_minutes", rounded(part.alone_min)},
                    {"life", life_json(part)},
                    {"next_km", rounded(plan.next_km)},
                    {"failure", maybe(part.failure, 6)},
                    {"cost_now", maybe(part.now_cost)},
                    {"cost_later", maybe(part.later_cost)},
                    {"advice", part.advice}});
  }
  return list;
}

Json proof_json(const ProvingRun& proof, bool after_work) {
  Json json{{"route", Json::array()},
            {"not_before", text_or_null(proof.not_before)},
            {"minutes", rounded(proof.minutes)},
            {"conditions", proof.conditions},
            {"columns", Json::array()},
            {"drives", nullptr}};
  for (const RouteLeg& leg : proof.legs)
    json["route"].push_back({{"what", leg.what}, {"minutes", rounded(leg.minutes)}});
  for (const ColumnToLog& column : proof.columns)
    json["columns"].push_back(
        {{"role", column.role}, {"why", column.why}, {"logged_before", column.logged_before}});
  if (!after_work) return json;
  json["drives"] = {{"clean", proof.drives ? Json(*proof.drives) : Json(nullptr)},
                    {"chance_left", maybe(proof.chance_left, 6)},
                    {"miss", rounded(proof.miss)},
                    {"shown", proof.rate.shown},
                    {"able", proof.rate.able},
                    {"share", maybe(proof.rate.share)}};
  return json;
}

Json cautions_json(const JobPlan& plan) {
  Json list = Json::array();
  for (const Hazard hazard : plan.cautions)
    list.push_back({{"id", name_of(hazard)}, {"text", words_of(hazard)}});
  return list;
}

} // namespace

std::string render_plan_json(const JobPlan& plan, int indent) {
  const bool ranked = plan.purpose != JobPurpose::watch && !plan.confirmed;
  Json json;
  json["schema"] = "coolband.plan/1";
  json["tool"] = {{"name", "coolband"}, {"version", version()}};
  json["vehicle"] = planned_vehicle_json(plan);
  json["job"] = plan.trip.job.empty() ? Json(nullptr) : job_json(plan.trip.job);
  json["report"] = report_json(plan);
  json["purpose"] = name_of(plan.purpose);
  json["cause"] = plan.cause ? Json(name_of(*plan.cause)) : Json(nullptr);
  json["confirmed"] = plan.confirmed;
  json["missing"] = plan.missing;
  json["checks"] = checks_json(plan);
  json["switch_off_c"] = maybe(plan.facts.switch_off_c);
  json["left_open"] = ranked ? rounded(plan.checks.left_open, 4) : Json(nullptr);
  json["parts"] = parts_json(plan);
  json["costs"] = costs_json(plan);
  json["coolant"] = coolant_json(plan);
  json["work"] = plan.work.steps;
  json["fasteners"] = fasteners_json(plan);
  json["bleeding"] = plan.bleeding;
  json["together"] = together_json(plan);
  json["waste"] = plan.work.waste;
  json["proof"] = proof_json(plan.proof, plan.purpose == JobPurpose::repair);
  json["cautions"] = cautions_json(plan);
  return json_text(json, indent);
}

} // namespace coolband
