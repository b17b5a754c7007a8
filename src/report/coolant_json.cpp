// SPDX-License-Identifier: Apache-2.0
// The coolant card as `coolband.coolant/1`.
#include "coolband/version.hpp"

#include "report/coolant_report.hpp"
#include "report/coolant_words.hpp"
#include "report/json_parts.hpp"

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

Json system_json(const CoolantQuestion& question) {
  return {{"cap_kpa", rounded(question.cap_kpa)},
          {"cap_from", name_of(question.cap_from)},
          {"altitude_m", rounded(question.altitude_m)},
          {"altitude_from", name_of(question.altitude_from)},
          {"capacity_l", maybe(question.capacity_l)},
          {"capacity_from", question.capacity_l ? Json(name_of(question.capacity_from)) : Json()}};
}

Json boiling_json(const CoolantReport& report) {
  const CoolantCard& card = report.card;
  Json json{{"outside_kpa", rounded(card.outside_kpa)},
            {"at_cap_c", rounded(card.boils_c)},
            {"open_c", rounded(card.boils_open_c)},
            {"margin", nullptr}};
  if (card.margin)
    json["margin"] = {{"temperature_c", rounded(report.question.temperature_c.value())},
                      {"at_cap_k", rounded(card.margin->at_cap_k)},
                      {"open_k", rounded(card.margin->open_k)}};
  return json;
}

Json freezing_json(const CoolantReport& report) {
  Json json{{"from_c", rounded(report.card.freezes_c)}, {"protection", nullptr}};
  if (const auto& protection = report.card.protection)
    json["protection"] = {{"to_c", rounded(report.question.protect_to_c.value())},
                          {"concentration_vol_pct", rounded(protection->concentration_pct)},
                          {"reserve_k", k_frost_reserve_k},
                          {"with_reserve_vol_pct", maybe(protection->with_reserve_pct)}};
  return json;
}

Json heat_json(const CoolantCard& card) {
  return {
      {"temperature_c", k_running_c},
      {"density_kg_per_m3", rounded(card.heat.density_kg_per_m3)},
      {"capacity_j_per_kg_k", rounded(card.heat.capacity_j_per_kg_k)},
      {"kj_per_litre_k", rounded(card.heat.kj_per_litre_k())},
      {"share_of_water", rounded(card.heat.kj_per_litre_k() / card.water_heat.kj_per_litre_k())}};
}

Json refill_json(const CoolantReport& report) {
  if (!report.card.refill) return nullptr;
  const CoolantQuestion& question = report.question;
  const Refill& refill = *report.card.refill;
  return {{"target_vol_pct", rounded(question.target_pct.value())},
          {"product_vol_pct", rounded(question.product_pct)},
          {"product_from", name_of(question.product_from)},
          {"missing_l", rounded(refill.drain_l - refill.more_to_drain_l)},
          {"drain_l", rounded(refill.drain_l)},
          {"more_to_drain_l", rounded(refill.more_to_drain_l)},
          {"product_l", rounded(refill.product_l)},
          {"water_l", rounded(refill.water_l)}};
}

Json top_up_json(const CoolantReport& report) {
  if (report.card.top_ups.empty()) return nullptr;
  Json json{{"volume_l", rounded(report.question.top_up_l.value())}, {"choices", Json::array()}};
  for (const TopUp& top_up : report.card.top_ups)
    json["choices"].push_back({{"added_vol_pct", rounded(top_up.added_pct)},
                               {"result_vol_pct", rounded(top_up.result_pct)},
                               {"freezes_from_c", maybe(top_up.freezes_c)}});
  return json;
}

} // namespace

std::string render_coolant_json(const CoolantReport& report, int indent) {
  const CoolantQuestion& question = report.question;
  Json json;
  json["schema"] = "coolband.coolant/1";
  json["tool"] = {{"name", "coolband"}, {"version", version()}};
  json["mix"] = {{"glycol", name_of(question.mix.glycol)},
                 {"glycol_from", name_of(question.glycol_from)},
                 {"concentration_vol_pct", rounded(question.mix.volume_pct)},
                 {"concentration_mass_pct", rounded(report.card.mass_pct)},
                 {"concentration_from", name_of(question.concentration_from)}};
  json["system"] = system_json(question);
  json["freezing"] = freezing_json(report);
  json["boiling"] = boiling_json(report);
  json["heat"] = heat_json(report.card);
  json["refill"] = refill_json(report);
  json["top_up"] = top_up_json(report);
  json["assumptions"] = assumptions_of(report, {});
  json["uncertainties"] = uncertainties_of(report);
  json["warnings"] = warnings_of(report, {});
  json["cautions"] = cautions_of();
  return json_text(json, indent);
}

} // namespace coolband
