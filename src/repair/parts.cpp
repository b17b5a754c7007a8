// SPDX-License-Identifier: Apache-2.0
// Which parts which work needs: common practice, no source.
#include "repair/parts.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::array<PartKind, 27> k_kinds{{
    {"thermostat", "thermostat", ""},
    {"thermostat-seal", "thermostat seal or gasket", ""},
    {"radiator-hose", "radiator hose", ""},
    {"hose-clamp", "hose clamp", ""},
    {"cap", "pressure cap", ""},
    {"fan-clutch", "viscous fan clutch", ""},
    {"fan-motor", "electric fan motor", ""},
    {"fan-relay", "fan relay", ""},
    {"fan-fuse", "fan fuse", ""},
    {"fan-switch", "fan switch or control", ""},
    {"fan-blade", "fan blades", ""},
    {"shroud", "fan shroud", ""},
    {"radiator", "radiator", ""},
    {"drain-seal", "drain plug seal", ""},
    {"water-pump", "water pump", ""},
    {"pump-seal", "pump gasket or seal", ""},
    {"belt", "drive belt", ""},
    {"tensioner", "belt tensioner", ""},
    {"sensor", "coolant temperature sensor", ""},
    {"sensor-seal", "sensor seal", ""},
    {"plug-repair", "plug and lead repair set", ""},
    {"coolant", "coolant", "L"},
    {"water", "distilled water", "L"},
    {"flush-water", "water to flush with", "L"},
    {"absorbent", "absorbent for spills", "bag"},
    {"waste-container", "closed container for old coolant", ""},
    {"labour-hour", "labour", "h"},
}};

struct Line {
  std::string_view id;
  double quantity;
  PartNeed need;
  std::string_view note;
};

constexpr auto k_needed = PartNeed::needed;
constexpr auto k_if_bad = PartNeed::if_found_bad;

constexpr Line k_thermostat[] = {{"thermostat", 1, k_needed, ""},
                                 {"thermostat-seal", 1, k_needed, "never the old one"},
                                 {"hose-clamp", 2, k_needed, "as those that come off"},
                                 {"radiator-hose", 1, k_if_bad, "soft, cracked or swollen"},
                                 {"cap", 1, k_if_bad, "pressure as printed on the old one"}};
constexpr Line k_viscous[] = {{"fan-clutch", 1, k_needed, ""},
                              {"fan-blade", 1, k_if_bad, "any crack"},
                              {"belt", 1, k_if_bad, "glazed or cracked"},
                              {"shroud", 1, k_if_bad, "cracked or missing"}};
constexpr Line k_electric[] = {{"fan-fuse", 1, k_needed, "same rating"},
                               {"fan-relay", 1, k_if_bad, ""},
                               {"fan-switch", 1, k_if_bad, ""},
                               {"fan-motor", 1, k_if_bad, ""},
                               {"plug-repair", 1, k_if_bad, "burnt or green pins"}};
constexpr Line k_fixed[] = {{"belt", 1, k_if_bad, "glazed or cracked"},
                            {"fan-blade", 1, k_if_bad, "any crack"},
                            {"shroud", 1, k_if_bad, "cracked or missing"}};
constexpr Line k_some_fan[] = {{"fan-clutch", 1, k_if_bad, "of a viscous fan"},
                               {"fan-fuse", 1, k_if_bad, "of an electric fan"},
                               {"fan-relay", 1, k_if_bad, "of an electric fan"},
                               {"fan-motor", 1, k_if_bad, "of an electric fan"},
                               {"fan-blade", 1, k_if_bad, "any crack"},
                               {"belt", 1, k_if_bad, "glazed or cracked"}};
constexpr Line k_radiator[] = {{"drain-seal", 1, k_needed, ""},
                               {"hose-clamp", 4, k_needed, "as those that come off"},
                               {"radiator", 1, k_if_bad, "blocked inside, or leaking"},
                               {"radiator-hose", 2, k_if_bad, "soft, cracked or swollen"},
                               {"cap", 1, k_if_bad, "pressure as printed on the old one"}};
constexpr Line k_flow[] = {{"water-pump", 1, k_needed, "after the checks that name it"},
                           {"pump-seal", 1, k_needed, "never the old one"},
                           {"hose-clamp", 2, k_needed, "as those that come off"},
                           {"belt", 1, k_if_bad, "glazed, cracked or wetted with coolant"},
                           {"tensioner", 1, k_if_bad, "play, noise or weak spring"},
                           {"thermostat-seal", 1, k_if_bad, "where its housing comes off"}};
constexpr Line k_leak[] = {{"hose-clamp", 2, k_needed, "at the leak"},
                           {"radiator-hose", 1, k_if_bad, "where it leaks"},
                           {"cap", 1, k_if_bad, "when it fails on the tester"},
                           {"water-pump", 1, k_if_bad, "when its weep hole drips"},
                           {"pump-seal", 1, k_if_bad, "with the pump"}};
constexpr Line k_sensor[] = {{"plug-repair", 1, k_if_bad, "the wiring comes before the sensor"},
                             {"sensor", 1, k_needed, "when wiring and plug are sound"},
                             {"sensor-seal", 1, k_needed, ""}};

std::span<const Line> fan_lines(std::optional<FanDrive> fan) {
  if (fan == FanDrive::viscous) return k_viscous;
  if (fan == FanDrive::electric) return k_electric;
  if (fan == FanDrive::fixed) return k_fixed;
  return k_some_fan;
}

std::span<const Line> lines_of(RepairKind kind, const JobFacts& facts) {
  switch (kind) {
  case RepairKind::thermostat: return k_thermostat;
  case RepairKind::fan: return fan_lines(facts.fan);
  case RepairKind::radiator: return k_radiator;
  case RepairKind::flow: return k_flow;
  case RepairKind::leak: return k_leak;
  case RepairKind::sensor: return k_sensor;
  case RepairKind::none: break;
  }
  return {};
}

std::string thermostat_note(const JobFacts& facts) {
  if (facts.mapped) return "electrically heated: by the maker's number for this engine";
  if (!facts.opens_c) return "rating as stamped on the old one, or by the maker's data";
  if (facts.opens_by_band)
    return fmt::format("the old one was seen to open near {:.0f} °C: the stamp tells the rating",
                       *facts.opens_c);
  return fmt::format("opens at {:.0f} °C", *facts.opens_c);
}

std::string_view glycol_words(Glycol glycol) {
  switch (glycol) {
  case Glycol::ethylene: return "ethylene glycol";
  case Glycol::propylene: return "propylene glycol";
  case Glycol::none: break;
  }
  return "no glycol";
}

std::string product_note(const JobCoolant& coolant, const JobFacts& facts) {
  const std::string strength = coolant.product_pct >= 100.0
                                   ? std::string("concentrate")
                                   : fmt::format("{:g} % premix", coolant.product_pct);
  if (!facts.glycol || facts.glycol == Glycol::none)
    return strength + ", the kind that the maker names";
  return fmt::format("{}, {}, the kind that the maker names", strength,
                     glycol_words(coolant.glycol));
}

/// Half a litre more than what comes out or is flushed through, to the next half litre.
double container_l(const JobCoolant& coolant) {
  const double drained_l =
      coolant.refill ? coolant.refill->drain_l : coolant.drained_l.value_or(0.0);
  const double out_l = drained_l + coolant.flush_l.value_or(0.0);
  return std::ceil(2.0 * (out_l + 0.5)) / 2.0;
}

void add_coolant(std::vector<PlannedPart>& parts, const JobCoolant& coolant,
                 const JobFacts& facts) {
  using Amount = std::optional<double>;
  const auto& refill = coolant.refill;
  if (coolant.glycol != Glycol::none)
    parts.push_back({part_kind("coolant"),
                     refill ? Amount(refill->product_l) : Amount(),
                     k_needed,
                     product_note(coolant, facts),
                     {}});
  constexpr double k_nothing_l = 0.005;
  if (!refill || refill->water_l >= k_nothing_l)
    parts.push_back(
        {part_kind("water"), refill ? Amount(refill->water_l) : Amount(), k_needed, "", {}});
  if (coolant.flushed)
    parts.push_back(
        {part_kind("flush-water"), coolant.flush_l, k_needed, "until it runs clear", {}});
  parts.push_back({part_kind("absorbent"), 1.0, k_needed, "", {}});
  parts.push_back({part_kind("waste-container"),
                   1.0,
                   k_needed,
                   coolant.drained_l ? fmt::format("{:g} L or more", container_l(coolant))
                                     : "for the whole capacity",
                   {}});
}

} // namespace

std::span<const PartKind> part_kinds() { return k_kinds; }

const PartKind& part_kind(std::string_view id) {
  return *std::find_if(k_kinds.begin(), k_kinds.end(),
                       [&](const PartKind& kind) { return kind.id == id; });
}

std::string_view name_of(PartNeed need) {
  return need == PartNeed::needed ? "needed" : "if-found-bad";
}

std::vector<PlannedPart> parts_for(RepairKind kind, const JobFacts& facts,
                                   const std::optional<JobCoolant>& coolant) {
  std::vector<PlannedPart> parts;
  for (const Line& line : lines_of(kind, facts)) {
    std::string note(line.note);
    if (line.id == "thermostat") note = thermostat_note(facts);
    parts.push_back({part_kind(line.id), line.quantity, line.need, std::move(note), {}});
  }
  if (coolant) add_coolant(parts, *coolant, facts);
  std::stable_sort(parts.begin(), parts.end(),
                   [](const PlannedPart& a, const PlannedPart& b) { return a.need < b.need; });
  return parts;
}

std::optional<Costs> cost_up(std::vector<PlannedPart>& parts, const std::vector<PartPrice>& prices,
                             const std::string& currency, const std::optional<double>& hours) {
  const auto price_for = [&](std::string_view id) {
    const auto found =
        std::find_if(prices.begin(), prices.end(), [&](const PartPrice& p) { return p.id == id; });
    return found == prices.end() ? std::optional<double>() : found->price;
  };
  Costs costs;
  costs.currency = currency;
  bool priced = false;
  for (PlannedPart& part : parts) {
    part.price = price_for(part.kind.id);
    if (part.price && part.quantity) {
      (part.need == k_needed ? costs.needed : costs.if_found_bad) += *part.price * *part.quantity;
      priced = true;
    } else if (part.need == k_needed) {
      costs.unpriced.emplace_back(part.kind.name);
    }
  }
  const auto hour = price_for("labour-hour");
  if (hour && hours) costs.labour = *hour * *hours;
  if (!priced && !costs.labour) return std::nullopt;
  return costs;
}

} // namespace coolband
