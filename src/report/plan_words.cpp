// SPDX-License-Identifier: Apache-2.0
// What a job plan says in words.
#include "report/plan_words.hpp"

#include "report/amounts.hpp"
#include "report/job_words.hpp"
#include "report/layout.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

std::string percent_words(double share) {
  const double pct = 100.0 * share;
  return pct < 9.95 ? fmt::format("{:.1f} %", pct) : fmt::format("{:.0f} %", pct);
}

std::string litres(double value) { return Amounts{}.litres(value); }

std::string trip_name(const JobPlan& plan) {
  const ReportedTrip& trip = plan.trip;
  std::string name = trip.source.empty() ? std::string("not named") : trip.source;
  if (name == "-") name = "standard input";
  if (!trip.start.empty()) name += " of " + trip.start;
  if (plan.trips > 1) name += fmt::format(" (trip {} of {})", plan.trip_index + 1, plan.trips);
  return name;
}

std::string quantity_words(const PlannedPart& part) {
  if (!part.quantity) return "? " + std::string(part.kind.unit);
  if (part.kind.unit.empty()) return fmt::format("{:g} ×", *part.quantity);
  if (part.kind.unit == "L") return litres(*part.quantity);
  return fmt::format("{:g} {}", *part.quantity, part.kind.unit);
}

std::string part_note(const PlannedPart& part) {
  if (part.need == PartNeed::needed) return part.note;
  return part.note.empty() ? "if found bad" : "if found bad: " + part.note;
}

std::string filling_words(const JobCoolant& coolant) {
  const Refill& refill = *coolant.refill;
  const std::string product =
      coolant.product_pct >= 100.0
          ? litres(refill.product_l) + " of concentrate"
          : fmt::format("{} of {:g} % product", litres(refill.product_l), coolant.product_pct);
  std::string water = litres(refill.water_l) + " of distilled water";
  constexpr double k_nothing_l = 0.005;
  if (refill.product_l < k_nothing_l) return water;
  return refill.water_l < k_nothing_l ? product : product + " and " + water;
}

std::string rate_words(const ShowingRate& rate) {
  if (rate.share)
    return fmt::format("it shows in {:.0f} % of drives, as you say", 100.0 * *rate.share);
  if (rate.able == 1 && rate.shown == 1) return "it showed in the one drive that was reported";
  return fmt::format("it showed in {} of the {} reported drives that could show it", rate.shown,
                     rate.able);
}

std::string drives_words(const ProvingRun& proof) {
  if (!proof.rate.share && proof.rate.shown == 0)
    return "no reported drive showed it, so that clean drives would prove no cure: log the fault "
           "once more before the work, or say with --shows PERCENT in how many drives it is there";
  if (!proof.drives)
    return fmt::format("no number of drives will do ({}); log until it shows again, or say --shows",
                       rate_words(proof.rate));
  return fmt::format(
      "{} clean drive{} like that in a row leave a chance of {} that the fault is still "
      "there and hid each time ({}; {:g} % is accepted)",
      *proof.drives, *proof.drives == 1 ? "" : "s", percent_words(*proof.chance_left),
      rate_words(proof.rate), 100.0 * proof.miss);
}

std::string columns_words(const ProvingRun& proof) {
  std::vector<std::string> old;
  std::vector<std::string> fresh;
  for (const ColumnToLog& column : proof.columns) {
    if (column.logged_before)
      old.push_back(column.role);
    else
      fresh.push_back(fmt::format("{} ({})", column.role, column.why));
  }
  std::string words = "log " + joined(old, ", ");
  if (old.empty()) return "log " + joined(fresh, ", ");
  return fresh.empty() ? words : words + "; not logged so far: " + joined(fresh, ", ");
}

std::string route_words(const ProvingRun& proof) {
  std::vector<std::string> legs;
  for (const RouteLeg& leg : proof.legs)
    legs.push_back(leg.minutes > 0.0 ? fmt::format("{}, {:.0f} min", leg.what, leg.minutes)
                                     : leg.what);
  return fmt::format("route of {:.0f} min: {}", proof.minutes, joined(legs, "; "));
}

} // namespace

std::string_view cause_words(Condition condition) {
  switch (condition) {
  case Condition::thermostat_stuck_open: return "a thermostat that hangs open";
  case Condition::thermostat_stuck_closed: return "a thermostat that does not open enough";
  case Condition::thermostat_sticking: return "a thermostat that sticks";
  case Condition::fan_not_cooling: return "a fan that does not cool";
  case Condition::radiator_restricted: return "a radiator that is blocked";
  case Condition::coolant_flow_low: return "too little coolant flow (pump, belt)";
  case Condition::air_or_low_coolant: return "air in the coolant, or too little of it";
  case Condition::sensor_fault: return "a sensor or its wiring at fault";
  default: return "nothing named";
  }
}

std::string job_headline(const JobPlan& plan) {
  if (plan.purpose == JobPurpose::repair)
    return fmt::format("{}: {}", plan.confirmed ? "mend what was confirmed" : "confirm, then mend",
                       cause_words(*plan.cause));
  if (plan.purpose == JobPurpose::find)
    return fmt::format("find the cause first; likeliest: {}", cause_words(*plan.cause));
  if (plan.trip.action >= Action::service) return "find the cause first: the report ranks none";
  if (plan.trip.condition == Condition::normal) return "nothing to mend; how to keep it so";
  return "nothing to mend yet: the next drive must tell";
}

std::vector<std::pair<std::string, std::string>> job_card(const JobPlan& plan) {
  const ReportedTrip& trip = plan.trip;
  std::vector<std::pair<std::string, std::string>> card;
  std::string vehicle = trip.vehicle_id.empty() ? std::string("not named") : trip.vehicle_id;
  if (trip.profile && trip.profile->label) vehicle += ", " + *trip.profile->label;
  if (plan.facts.odometer_km) vehicle += fmt::format(", {:.0f} km", *plan.facts.odometer_km);
  card.emplace_back("vehicle", vehicle);
  const auto job = job_pairs(trip.job);
  card.insert(card.end(), job.begin(), job.end());
  card.emplace_back("trip", trip_name(plan));
  const std::string certainty = trip.condition == Condition::undetermined
                                    ? std::string()
                                    : fmt::format(" {:.0f} %", 100.0 * trip.confidence);
  card.emplace_back("report", fmt::format("{}; {}{}, {}", trip.headline, name_of(trip.condition),
                                          certainty, name_of(trip.action)));
  if (!plan.other_alarms.empty()) {
    std::vector<std::string> numbers;
    for (const std::size_t i : plan.other_alarms) numbers.push_back(std::to_string(i + 1));
    card.emplace_back("also", fmt::format("trip{} {} call{} for service too (--trip N)",
                                          numbers.size() == 1 ? "" : "s", joined(numbers, ", "),
                                          numbers.size() == 1 ? "s" : ""));
  }
  return card;
}

namespace {

/// "Title: how. What it shows"
std::string check_words(const ConfirmingCheck& check) {
  std::string shows = check.shows;
  if (!shows.empty() && shows[0] >= 'a' && shows[0] <= 'z')
    shows[0] = static_cast<char>(shows[0] - 'a' + 'A');
  return fmt::format("{}: {}. {}", check.title, check.how, shows);
}

/// "2 min, cold, no tools, settles 3 %"; without the share where nothing is in doubt.
std::string check_terms(const PlannedCheck& planned) {
  const ConfirmingCheck& check = planned.check;
  std::string terms = fmt::format("{:.0f} min", check.minutes);
  if (check.engine != EngineState::any)
    terms += fmt::format(", {}", check.engine == EngineState::warming ? "cold to hot"
                                                                      : name_of(check.engine));
  terms += ", " + (check.tools.empty() ? std::string("no tools") : check.tools);
  if (planned.settles > 0.0) terms += fmt::format(", settles {:.0f} %", 100.0 * planned.settles);
  return terms;
}

/// "Mind: hot system, fan may start." or nothing.
std::string check_cautions(const ConfirmingCheck& check) {
  std::vector<std::string> words;
  for (const Hazard hazard : check.hazards) words.emplace_back(short_words_of(hazard));
  return words.empty() ? std::string() : "mind: " + joined(words, ", ");
}

} // namespace

std::vector<std::string> check_lines(const JobPlan& plan) {
  std::vector<std::string> lines;
  for (const PlannedCheck& planned : plan.checks.checks) {
    const std::string cautions = check_cautions(planned.check);
    lines.push_back(fmt::format("{} ({}{})", check_words(planned.check), check_terms(planned),
                                cautions.empty() ? "" : "; " + cautions));
  }
  return lines;
}

std::vector<std::string> caution_lines(const JobPlan& plan) {
  std::vector<std::string> lines;
  for (const Hazard hazard : plan.cautions) lines.emplace_back(words_of(hazard));
  return lines;
}

std::string checks_outcome(const JobPlan& plan) {
  if (plan.confirmed) return "none: the cause was confirmed by hand";
  if (plan.purpose == JobPurpose::watch) return "they cost a few minutes and no tools";
  return fmt::format("stop at the first that shows the fault; all together leave {:.0f} % of the "
                     "doubt. Another cause found: coolband plan --confirmed CAUSE",
                     100.0 * plan.checks.left_open);
}

std::string switch_off_words(const JobPlan& plan) {
  const auto& checks = plan.checks.checks;
  const bool running = std::any_of(checks.begin(), checks.end(), [](const PlannedCheck& planned) {
    const EngineState engine = planned.check.engine;
    return engine == EngineState::hot || engine == EngineState::warming;
  });
  if (!running) return {};
  const std::string limit = plan.facts.switch_off_c
                                ? fmt::format("at {:.0f} °C, or ", *plan.facts.switch_off_c)
                                : std::string();
  return fmt::format(
      "with the engine running: switch it off at once {}when the reading climbs past "
      "its normal and on",
      limit);
}

std::vector<std::string> needed_lines(const JobPlan& plan) {
  std::vector<std::string> lines;
  for (const PlannedPart& part : plan.parts) {
    if (part.need != PartNeed::needed) continue;
    lines.push_back(quantity_words(part) + " " + std::string(part.kind.name));
    if (!part.note.empty()) lines.back() += ": " + part.note;
    if (part.price && part.quantity)
      lines.back() += fmt::format(" [{:.2f}]", *part.price * *part.quantity);
  }
  return lines;
}

std::string if_bad_words(const JobPlan& plan) {
  std::vector<std::string> words;
  for (const PlannedPart& part : plan.parts) {
    if (part.need == PartNeed::needed) continue;
    words.push_back(quantity_words(part) + " " + std::string(part.kind.name));
    if (!part.note.empty()) words.back() += " (" + part.note + ")";
    if (part.price && part.quantity)
      words.back() += fmt::format(" [{:.2f}]", *part.price * *part.quantity);
  }
  return words.empty() ? std::string() : "only if found bad: " + joined(words, ", ");
}

std::vector<std::vector<std::string>> part_rows(const JobPlan& plan) {
  const bool priced = plan.costs.has_value();
  std::vector<std::vector<std::string>> rows = {{"quantity", "part"}};
  if (priced) rows.front().insert(rows.front().end(), {"each", "sum"});
  rows.front().emplace_back("note");
  for (const PlannedPart& part : plan.parts) {
    std::vector<std::string> row = {quantity_words(part), std::string(part.kind.name)};
    if (priced) {
      row.push_back(part.price ? fmt::format("{:.2f}", *part.price) : "");
      row.push_back(
          part.price && part.quantity ? fmt::format("{:.2f}", *part.price * *part.quantity) : "");
    }
    row.push_back(part_note(part));
    rows.push_back(std::move(row));
  }
  return rows;
}

std::string cost_words(const JobPlan& plan) {
  if (!plan.costs) return {};
  const Costs& costs = *plan.costs;
  const std::string currency = costs.currency.empty() ? "" : " " + costs.currency;
  std::string words = fmt::format("needed {:.2f}{}", costs.needed, currency);
  if (costs.if_found_bad > 0.0)
    words +=
        fmt::format("; up to {:.2f}{} more if all else is found bad", costs.if_found_bad, currency);
  if (costs.labour)
    words += fmt::format("; work {:.2f}{}, in all {:.2f}{}; by your prices and hours",
                         *costs.labour, currency, costs.needed + *costs.labour, currency);
  else
    words += ", by your prices, without labour (give --hours and --price labour-hour)";
  if (!costs.unpriced.empty()) words += "; not in it: " + joined(costs.unpriced, ", ");
  return words;
}

std::vector<std::string> coolant_lines(const JobCoolant& coolant) {
  std::vector<std::string> lines;
  if (coolant.refill) {
    const Refill& refill = *coolant.refill;
    const bool more = refill.more_to_drain_l >= 0.005;
    lines.push_back(fmt::format(
        "of {} {}{} come out{}: fill in {}", litres(*coolant.capacity_l),
        coolant.drained_from == Source::user ? "" : "about ", litres(*coolant.drained_l),
        more ? fmt::format(", and {} more must (too little room for the mix)",
                           litres(refill.more_to_drain_l))
             : "",
        filling_words(coolant)));
    if (coolant.glycol != Glycol::none)
      lines.push_back(fmt::format(
          "then it holds {:g} vol %{}", coolant.target_pct,
          coolant.freezes_c ? fmt::format(", freezing from {:.0f} °C down", *coolant.freezes_c)
                            : ""));
  }
  for (const std::string& figure : coolant.missing) lines.push_back("missing: " + figure);
  lines.insert(lines.end(), coolant.notes.begin(), coolant.notes.end());
  return lines;
}

std::vector<std::string> torque_lines() {
  std::vector<std::string> sizes;
  for (const TorqueRange& range : torque_ranges())
    sizes.push_back(fmt::format("M{} {:g} to {:g}", range.size_mm, range.least_nm, range.most_nm));
  return {
      "torque only by the vehicle maker's figure, which rules; to notice a slip of the pen, plain "
      "bolts of class 8.8 lie at (common practice, no source; the lower end in cast aluminium) " +
      joined(sizes, ", ") + " N·m"};
}

std::vector<std::vector<std::string>> together_rows(const JobPlan& plan) {
  std::vector<std::vector<std::string>> rows;
  for (const TogetherPart& part : plan.together) {
    if (!part.life) continue;
    rows.push_back({std::string(part.kind.name), fmt::format("+{:.0f} min", part.extra_min),
                    fmt::format("{:.0f} min", part.alone_min),
                    part.failure ? percent_words(*part.failure) : "?", part.advice});
  }
  if (!rows.empty()) rows.insert(rows.begin(), {"part", "now", "alone", "fails", "so"});
  return rows;
}

std::vector<std::string> life_lines(const JobPlan& plan) {
  std::vector<std::string> lines;
  for (const TogetherPart& part : plan.together) {
    if (!part.life) continue;
    const std::string chance = part.failure ? percent_words(*part.failure) + " chance of failing"
                                            : "chance of failing not known";
    lines.push_back(fmt::format("{}: {} within the next {:.0f} km (+{:.0f} min now, {:.0f} min by "
                                "itself): {}",
                                part.kind.name, chance, plan.next_km, part.extra_min,
                                part.alone_min, part.advice));
  }
  return lines;
}

std::string within_reach_words(const JobPlan& plan) {
  std::vector<std::string> looks;
  for (const TogetherPart& part : plan.together) {
    if (!part.life)
      looks.push_back(fmt::format("{} (+{:.0f} min now, {:.0f} by itself)", part.kind.name,
                                  part.extra_min, part.alone_min));
  }
  if (looks.empty()) return {};
  return fmt::format(
      "within reach, so look at them: {}; --life PART=KM:SHAPE tells the chance that "
      "one fails within {:.0f} km",
      joined(looks, ", "), plan.next_km);
}

std::vector<std::string> proof_lines(const JobPlan& plan) {
  const ProvingRun& proof = plan.proof;
  std::vector<std::string> lines;
  if (!proof.not_before.empty()) lines.push_back(proof.not_before);
  lines.push_back(route_words(proof));
  lines.insert(lines.end(), proof.conditions.begin(), proof.conditions.end());
  lines.push_back(columns_words(proof));
  if (plan.purpose == JobPurpose::repair) {
    lines.push_back(drives_words(proof));
    lines.emplace_back("then: coolband verify --band FILE --before LOG --after LOG...");
  } else if (!plan.trip.band_learned) {
    lines.emplace_back(
        "three or more drives of normal running make the vehicle's own band: coolband "
        "learn LOG... --vehicle ID --band FILE");
  } else {
    lines.emplace_back("then: coolband check LOG --band FILE");
  }
  return lines;
}

} // namespace coolband
