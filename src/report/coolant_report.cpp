// SPDX-License-Identifier: Apache-2.0
// The coolant card as text.
#include "report/coolant_report.hpp"

#include "report/coolant_words.hpp"
#include "report/layout.hpp"

#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

void add_boiling(Page& page, const CoolantReport& report) {
  const CoolantQuestion& question = report.question;
  const Amounts& amounts = report.amounts;
  const std::string open = amounts.celsius(report.card.boils_open_c);
  if (question.cap_kpa > 0.0) {
    page.add("BOILS", fmt::format("at {} under a cap of {}", amounts.celsius(report.card.boils_c),
                                  amounts.kilopascals(question.cap_kpa)));
    page.add("", fmt::format("at {} when the cap is open, weak or leaking", open));
  } else {
    page.add("BOILS", fmt::format("at {} without pressure", open));
  }
  page.add("", fmt::format("outside air at {}: {} absolute", amounts.metres(question.altitude_m),
                           amounts.kilopascals(report.card.outside_kpa)));
}

void add_heat(Page& page, const CoolantCard& card) {
  const double share = card.heat.kj_per_litre_k() / card.water_heat.kj_per_litre_k();
  const std::string less =
      share < 0.995 ? fmt::format(", {:.0f} % less than water", 100.0 * (1.0 - share)) : "";
  page.add("CARRIES", fmt::format("{:.2f} kJ per litre and K at {:.0f} °C{} ({:.0f} kg/m³, {:.0f} "
                                  "J/(kg K))",
                                  card.heat.kj_per_litre_k(), k_running_c, less,
                                  card.heat.density_kg_per_m3, card.heat.capacity_j_per_kg_k));
}

std::string margin_words(double margin_k, const Amounts& amounts) {
  if (margin_k > 0.0) return amounts.kelvins(margin_k) + " below boiling";
  return amounts.kelvins(-margin_k) + " above boiling";
}

void add_margin(Page& page, const CoolantReport& report) {
  if (!report.card.margin) return;
  const BoilingMargin& margin = *report.card.margin;
  const std::string_view colour = margin.at_cap_k <= k_boiling_near_k    ? ansi::k_danger
                                  : margin.at_cap_k <= k_boiling_watch_k ? ansi::k_fault
                                                                         : ansi::k_good;
  page.add("MARGIN",
           fmt::format("{} is {} under the cap",
                       report.amounts.celsius(*report.question.temperature_c),
                       margin_words(margin.at_cap_k, report.amounts)),
           colour);
  page.add("", fmt::format("and {} when the cap is open, weak or leaking",
                           margin_words(margin.open_k, report.amounts)));
}

/// Rounded up, so that it is enough.
double rounded_up(double pct) { return std::ceil(10.0 * pct - 1e-6) / 10.0; }

void add_protection(Page& page, const CoolantReport& report) {
  if (!report.card.protection) return;
  const Protection& protection = *report.card.protection;
  const CoolantQuestion& question = report.question;
  const std::string frost = report.amounts.celsius(*question.protect_to_c);
  if (protection.concentration_pct == 0.0) {
    page.add("FROST", "down to " + frost + " even water does not freeze");
    return;
  }
  std::string words =
      fmt::format("down to {} takes {:.1f} vol % {} glycol", frost,
                  rounded_up(protection.concentration_pct), name_of(question.mix.glycol));
  const std::string reserve = report.amounts.kelvins(k_frost_reserve_k);
  words += protection.with_reserve_pct
               ? fmt::format("; {:.1f} vol % with {} in reserve",
                             rounded_up(*protection.with_reserve_pct), reserve)
               : fmt::format("; no known mix has {} in reserve", reserve);
  page.add("FROST", words);
  if (question.concentration_from == Source::assumed) return;
  page.add("", report.card.freezes_c <= *question.protect_to_c
                   ? "the present mix stands it"
                   : "the present mix does not stand it");
}

std::string filling_words(const Refill& refill, double product_pct, const Amounts& amounts) {
  std::string product = amounts.litres(refill.product_l) + " of " + product_words(product_pct);
  std::string water = amounts.litres(refill.water_l) + " of water";
  if (refill.water_l < 0.005) return product;
  return refill.product_l < 0.005 ? water : product + " and " + water;
}

std::string refill_words(const CoolantReport& report) {
  const Refill& refill = *report.card.refill;
  const CoolantQuestion& question = report.question;
  const Amounts& amounts = report.amounts;
  const std::string filling = filling_words(refill, question.product_pct, amounts);
  const double missing_l = refill.drain_l - refill.more_to_drain_l;
  if (refill.drain_l < 0.005) return "nothing to do: the mix is what it should be";
  if (missing_l < 0.005)
    return fmt::format("drain {}, then fill in {}", amounts.litres(refill.drain_l), filling);
  if (refill.more_to_drain_l < 0.005)
    return fmt::format("into the {} missing fill {}", amounts.litres(missing_l), filling);
  return fmt::format("{} are not room enough: drain {} more, {} in all, then fill in {}",
                     amounts.litres(missing_l), amounts.litres(refill.more_to_drain_l),
                     amounts.litres(refill.drain_l), filling);
}

void add_refill(Page& page, const CoolantReport& report) {
  if (!report.card.refill) return;
  const CoolantQuestion& question = report.question;
  const Refill& refill = *report.card.refill;
  const double capacity_l = question.capacity_l.value();
  const bool empty = refill.drain_l - refill.more_to_drain_l == capacity_l;
  page.add("REFILL",
           fmt::format("{}, {} to {:.4g} vol %", report.amounts.litres(capacity_l),
                       empty ? "empty," : fmt::format("from {:.4g}", question.mix.volume_pct),
                       question.target_pct.value()));
  page.add("", refill_words(report));
  const auto freezes = freezing_point_c({question.mix.glycol, question.target_pct.value()});
  if (freezes) page.add("", "then it freezes from " + report.amounts.celsius(*freezes) + " down");
}

std::string added_words(double added_pct, const CoolantQuestion& question) {
  if (added_pct == 0.0) return "water";
  if (added_pct == question.mix.volume_pct)
    return fmt::format("the same mix ({:.4g} %)", added_pct);
  return product_words(added_pct);
}

void add_top_ups(Page& page, const CoolantReport& report) {
  if (report.card.top_ups.empty()) return;
  const CoolantQuestion& question = report.question;
  page.add("TOP-UP", fmt::format("{} into {}", report.amounts.litres(question.top_up_l.value()),
                                 report.amounts.litres(question.capacity_l.value())));
  std::vector<std::vector<std::string>> rows{{"of", "gives", "freezes from"}};
  for (const TopUp& top_up : report.card.top_ups) {
    rows.push_back({added_words(top_up.added_pct, question),
                    fmt::format("{:.1f} vol %", top_up.result_pct),
                    top_up.freezes_c ? report.amounts.celsius(*top_up.freezes_c)
                                     : "not known: too strong, protects less"});
  }
  page.add_table("", rows);
}

} // namespace

std::string render_coolant(const CoolantReport& report, const TextStyle& style) {
  Page page(style);
  const CoolantMix& mix = report.question.mix;
  page.add("COOLANT",
           mix_words(mix) + (report.card.mass_pct > 0.0
                                 ? fmt::format(", {:.1f} % by mass", report.card.mass_pct)
                                 : ""));
  page.add("FREEZES", "from " + report.amounts.celsius(report.card.freezes_c) + " down");
  add_boiling(page, report);
  add_heat(page, report.card);
  add_margin(page, report);
  add_protection(page, report);
  add_refill(page, report);
  add_top_ups(page, report);
  page.add_blank();
  page.add_list("ASSUMED", assumptions_of(report, report.amounts));
  page.add_list("UNCERTAIN", uncertainties_of(report));
  page.add_list("MIND", warnings_of(report, report.amounts));
  page.add_list("CAUTIONS", cautions_of());
  return page.take();
}

} // namespace coolband
