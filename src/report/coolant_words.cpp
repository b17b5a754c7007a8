// SPDX-License-Identifier: Apache-2.0
// What a coolant card says in words.
#include "report/coolant_words.hpp"

#include "band/profile_slips.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

bool is_water(const CoolantMix& mix) { return mix.glycol == Glycol::none || mix.volume_pct == 0.0; }

std::string join(const std::vector<std::string>& parts) {
  std::string text;
  for (const std::string& part : parts) text += (text.empty() ? "" : ", ") + part;
  return text;
}

/// What came out of the profile, in one line.
std::vector<std::string> profile_words(const CoolantQuestion& question, const Amounts& amounts) {
  std::vector<std::string> parts;
  if (question.glycol_from == Source::profile)
    parts.push_back(question.mix.glycol == Glycol::none
                        ? "no glycol"
                        : fmt::format("{} glycol", name_of(question.mix.glycol)));
  if (question.concentration_from == Source::profile && question.mix.glycol != Glycol::none)
    parts.push_back(fmt::format("{:g} vol %", question.mix.volume_pct));
  if (question.cap_from == Source::profile)
    parts.push_back("cap " + amounts.kilopascals(question.cap_kpa));
  if (question.capacity_from == Source::profile)
    parts.push_back("capacity " + amounts.litres(question.capacity_l.value()));
  if (parts.empty()) return {};
  return {"from the profile: " + join(parts)};
}

void warn_of_mix(std::vector<std::string>& warnings, const CoolantReport& report,
                 const Amounts& amounts) {
  const CoolantMix& mix = report.question.mix;
  if (is_water(mix)) {
    const auto usual = boiling_point_c({Glycol::ethylene, k_usual_glycol_pct},
                                       report.card.outside_kpa + report.question.cap_kpa);
    warnings.push_back(fmt::format(
        "water alone freezes at {}, protects nothing from corrosion and boils {} lower than {:.0f} "
        "vol % ethylene glycol: get home with it, then fill in a mix",
        amounts.celsius(0.0), amounts.kelvins(usual.value() - report.card.boils_c),
        k_usual_glycol_pct));
  } else if (mix.volume_pct >= k_strong_mix_pct) {
    warnings.emplace_back("as strong as it should be: more glycol protects less from frost and "
                          "carries less heat");
  }
}

void warn_of_weakness(std::vector<std::string>& warnings, const CoolantQuestion& question) {
  const auto is_weak = [](double pct) { return pct > 0.0 && pct < k_weak_mix_pct; };
  const double target = question.target_pct.value_or(0.0);
  if (!is_weak(question.mix.volume_pct) && !is_weak(target)) return;
  warnings.push_back(fmt::format(
      "{:.4g} vol % is weak: ASTM D3306 is written for {:.0f} to {:.0f} vol %; below, "
      "additives against corrosion run short as well",
      is_weak(target) ? target : question.mix.volume_pct, k_weak_mix_pct, k_strong_mix_pct));
}

void warn_of_margin(std::vector<std::string>& warnings, const CoolantReport& report) {
  if (!report.card.margin) return;
  const BoilingMargin& margin = *report.card.margin;
  if (margin.at_cap_k <= k_boiling_near_k)
    warnings.emplace_back("that hot it boils or nearly does: stop at the next safe place, switch "
                          "off and let it cool");
  else if (margin.at_cap_k <= k_boiling_watch_k)
    warnings.push_back(fmt::format("within {:.0f} K of boiling: have the cooling system looked at",
                                   k_boiling_watch_k));
  if (margin.open_k <= 0.0 && margin.at_cap_k > k_boiling_near_k)
    warnings.emplace_back("only the pressure keeps it from boiling: a leak, or the cap taken off, "
                          "lets it boil at once");
}

void warn_of_top_up(std::vector<std::string>& warnings, const CoolantReport& report,
                    const Amounts& amounts) {
  for (const TopUp& top_up : report.card.top_ups) {
    if (top_up.added_pct == 0.0 && !is_water(report.question.mix))
      warnings.push_back(fmt::format(
          "water alone weakens the mix: from {:g} to {:.1f} vol %, freezing from {} instead of {}; "
          "top up with the same mix, and find out where the coolant went",
          report.question.mix.volume_pct, top_up.result_pct,
          amounts.celsius(top_up.freezes_c.value()), amounts.celsius(report.card.freezes_c)));
  }
}

} // namespace

std::string_view name_of(Glycol glycol) {
  switch (glycol) {
  case Glycol::none: return "none";
  case Glycol::ethylene: return "ethylene";
  case Glycol::propylene: return "propylene";
  }
  return "none";
}

std::string_view name_of(Source source) {
  switch (source) {
  case Source::assumed: return "assumed";
  case Source::profile: return "profile";
  case Source::user: return "option";
  }
  return "assumed";
}

std::string mix_words(const CoolantMix& mix) {
  if (is_water(mix)) return "water without glycol";
  return fmt::format("{:.4g} vol % {} glycol", mix.volume_pct, name_of(mix.glycol));
}

std::string product_words(double product_pct) {
  return product_pct == 100.0 ? "concentrate" : fmt::format("{:.4g} % product", product_pct);
}

std::vector<std::string> assumptions_of(const CoolantReport& report, const Amounts& amounts) {
  const CoolantQuestion& question = report.question;
  std::vector<std::string> words = profile_words(question, amounts);
  const bool water = is_water(question.mix) && question.concentration_from != Source::assumed;
  if (question.glycol_from == Source::assumed && !water)
    words.emplace_back("kind of glycol not given: ethylene");
  if (question.concentration_from == Source::assumed && question.mix.glycol != Glycol::none)
    words.push_back(fmt::format("concentration not given: {:g} vol %", question.mix.volume_pct));
  if (question.cap_from == Source::assumed)
    words.push_back("cap not given: " + amounts.kilopascals(question.cap_kpa));
  if (question.altitude_from == Source::assumed)
    words.emplace_back("altitude not given: sea level");
  const bool topped_up = !report.card.top_ups.empty();
  const bool product_used =
      topped_up || (report.card.refill && report.card.refill->product_l > 0.0);
  if (product_used && question.product_from == Source::assumed &&
      question.mix.glycol != Glycol::none)
    words.emplace_back("strength of the product not given: concentrate (100 %)");
  if (report.card.refill || topped_up)
    words.emplace_back(
        "volumes add up (real mixtures shrink slightly), and the old coolant is well "
        "mixed");
  words.insert(words.end(), report.remarks.begin(), report.remarks.end());
  return words;
}

std::vector<std::string> uncertainties_of(const CoolantReport& report) {
  const CoolantMix& mix = report.question.mix;
  if (is_water(mix))
    return {"boiling point of water by IAPWS-IF97 in the standard atmosphere: the "
            "day's weather moves it by about 1 K"};
  if (mix.glycol == Glycol::propylene)
    return {"freezing: ASHRAE's table; Melinder's curve lies up to 1.3 K higher",
            "boiling: set low on purpose, by about 1 K at 50 vol %",
            "heat: density ±1 %, heat capacity ±4 %"};
  return {"freezing: ASHRAE's table; Melinder's curve lies up to 2.2 K lower, 3 K near 60 vol %",
          "boiling: ±1.5 K", "heat: density ±1 %, heat capacity ±2 %"};
}

std::vector<std::string> warnings_of(const CoolantReport& report, const Amounts& amounts) {
  std::vector<std::string> warnings;
  warn_of_margin(warnings, report);
  warn_of_mix(warnings, report, amounts);
  warn_of_weakness(warnings, report.question);
  warn_of_top_up(warnings, report, amounts);
  const CoolantQuestion& question = report.question;
  if (question.cap_from == Source::user && question.cap_kpa > 0.0 &&
      question.cap_kpa < k_lowest_likely_cap_kpa)
    warnings.push_back(fmt::format("a cap of {} is unusually weak; if {:g} is printed on it as psi "
                                   "or bar, write the unit behind it",
                                   amounts.kilopascals(question.cap_kpa), question.cap_kpa));
  if (report.card.refill)
    warnings.emplace_back("measure the mix before and after with a refractometer; bleed by the "
                          "vehicle maker's procedure");
  warnings.emplace_back("a cap is a relief limit, not a pressure: the system reaches it only when "
                        "warm, full and tight");
  return warnings;
}

std::vector<std::string> cautions_of() {
  return {
      "never open a hot cooling system: coolant under pressure scalds; wait until it is cold, "
      "then loosen the cap slowly",
      "coolant is poisonous and tastes sweet: keep it from children and animals, catch it and "
      "take it to a collection point",
      "the vehicle maker's specification decides which coolant and how strong; do not mix types"};
}

} // namespace coolband
