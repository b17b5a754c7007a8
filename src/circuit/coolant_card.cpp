// SPDX-License-Identifier: Apache-2.0
// All that can be said of a coolant in its system.
#include "circuit/coolant_card.hpp"

#include <algorithm>

namespace coolband {

namespace {

Result<Protection> protection_of(const CoolantQuestion& question) {
  const auto exact = concentration_for_c(question.mix.glycol, *question.protect_to_c);
  if (!exact) return exact.error();
  Protection protection{*exact, std::nullopt};
  const auto safer =
      concentration_for_c(question.mix.glycol, *question.protect_to_c - k_frost_reserve_k);
  if (safer) protection.with_reserve_pct = *safer;
  return protection;
}

TopUp topped_up(const CoolantQuestion& question, double added_pct) {
  TopUp top_up;
  top_up.added_pct = added_pct;
  top_up.result_pct =
      mixed_pct(*question.capacity_l, question.mix.volume_pct, *question.top_up_l, added_pct);
  const auto freezes = freezing_point_c({question.mix.glycol, top_up.result_pct});
  if (freezes) top_up.freezes_c = *freezes;
  return top_up;
}

std::vector<TopUp> top_ups_of(const CoolantQuestion& question) {
  std::vector<double> added{0.0, question.mix.volume_pct};
  if (question.mix.glycol != Glycol::none) added.push_back(question.product_pct);
  std::vector<TopUp> top_ups;
  for (auto pct = added.begin(); pct != added.end(); ++pct) {
    if (std::find(added.begin(), pct, *pct) == pct) top_ups.push_back(topped_up(question, *pct));
  }
  return top_ups;
}

Error no_capacity() {
  return {ErrorKind::usage,
          {},
          "a refill or top-up needs the capacity of the whole cooling system",
          {},
          "give --capacity, e.g. --capacity 9.5L, or a profile that has it"};
}

std::optional<Error> add_refill(const CoolantQuestion& question, CoolantCard& card) {
  if (!question.target_pct && !question.top_up_l) return std::nullopt;
  if (!question.capacity_l) return no_capacity();
  if (question.target_pct) {
    const double missing_l = question.drained_l.value_or(question.top_up_l.value_or(0.0));
    const auto refill = plan_refill({*question.capacity_l, question.mix.volume_pct,
                                     *question.target_pct, question.product_pct, missing_l});
    if (!refill) return refill.error();
    card.refill = *refill;
  }
  if (question.top_up_l) card.top_ups = top_ups_of(question);
  return std::nullopt;
}

} // namespace

Result<CoolantCard> coolant_card(const CoolantQuestion& question) {
  CoolantCard card;
  card.mass_pct = 100.0 * glycol_mass_fraction(question.mix);
  card.outside_kpa = atmospheric_pressure_kpa(geopotential_altitude_m(question.altitude_m));
  const auto freezes = freezing_point_c(question.mix);
  if (!freezes) return freezes.error();
  const auto boils = boiling_point_c(question.mix, card.outside_kpa + question.cap_kpa);
  if (!boils) return boils.error();
  const auto boils_open = boiling_point_c(question.mix, card.outside_kpa);
  if (!boils_open) return boils_open.error();
  card.freezes_c = *freezes;
  card.boils_c = *boils;
  card.boils_open_c = *boils_open;
  card.heat = coolant_heat(question.mix, k_running_c);
  card.water_heat = coolant_heat({Glycol::none, 0.0}, k_running_c);
  if (const auto& t = question.temperature_c)
    card.margin = BoilingMargin{card.boils_c - *t, card.boils_open_c - *t};
  if (question.protect_to_c) {
    const auto protection = protection_of(question);
    if (!protection) return protection.error();
    card.protection = *protection;
  }
  if (const auto error = add_refill(question, card)) return *error;
  return card;
}

} // namespace coolband
