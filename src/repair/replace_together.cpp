// SPDX-License-Identifier: Apache-2.0
// Minutes are common practice, no source; lives and prices are the user's.
#include "repair/replace_together.hpp"

#include "core/portable_math.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include <fmt/core.h>

namespace coolband {

namespace {

struct Neighbour {
  std::string_view id;
  double extra_min;
  double alone_min;
};

constexpr Neighbour k_at_thermostat[] = {
    {"radiator-hose", 5, 50}, {"sensor", 5, 30}, {"cap", 1, 2}};
constexpr Neighbour k_at_clutch[] = {{"belt", 5, 30}, {"fan-blade", 2, 40}};
constexpr Neighbour k_at_radiator[] = {
    {"radiator-hose", 5, 50}, {"thermostat", 25, 75}, {"fan-motor", 10, 60}, {"cap", 1, 2}};
constexpr Neighbour k_at_pump[] = {
    {"belt", 2, 30}, {"tensioner", 10, 45}, {"thermostat", 15, 75}, {"radiator-hose", 5, 50}};
constexpr Neighbour k_at_leak[] = {{"cap", 1, 2}, {"thermostat", 40, 75}};

std::span<const Neighbour> neighbours_of(RepairKind kind, const JobFacts& facts) {
  switch (kind) {
  case RepairKind::thermostat: return k_at_thermostat;
  case RepairKind::fan:
    if (facts.fan == FanDrive::viscous) return k_at_clutch;
    return {};
  case RepairKind::radiator: return k_at_radiator;
  case RepairKind::flow: return k_at_pump;
  case RepairKind::leak: return k_at_leak;
  case RepairKind::sensor:
  case RepairKind::none: break;
  }
  return {};
}

std::optional<double> price_of(std::string_view id, const std::vector<PartPrice>& prices) {
  const auto found = std::find_if(prices.begin(), prices.end(),
                                  [&](const PartPrice& price) { return price.id == id; });
  if (found == prices.end()) return std::nullopt;
  return found->price;
}

void take_life(TogetherPart& part, const TogetherQuestion& question) {
  const auto life = std::find_if(question.lives.begin(), question.lives.end(),
                                 [&](const PartLife& l) { return l.id == part.kind.id; });
  if (life == question.lives.end()) return;
  part.life = *life;
  if (!question.odometer_km || life->fitted_km.value_or(0.0) > *question.odometer_km) return;
  const double age_km = std::max(0.0, *question.odometer_km - life->fitted_km.value_or(0.0));
  part.failure = failure_within(life->life_km, life->shape, age_km, question.next_km);
}

void take_costs(TogetherPart& part, const TogetherQuestion& question) {
  const auto price = price_of(part.kind.id, question.prices);
  const auto hour = price_of("labour-hour", question.prices);
  if (!price || !hour) return;
  part.now_cost = *price + *hour * part.extra_min / 60.0;
  if (part.failure) part.later_cost = *part.failure * (*price + *hour * part.alone_min / 60.0);
}

std::string advice_for(const TogetherPart& part, const std::optional<double>& odometer_km) {
  if (!part.life) return "look at it while it is within reach";
  if (!part.failure && odometer_km)
    return fmt::format("fitted at {:.0f} km, past the odometer's {:.0f}: mend FITTED_KM",
                       *part.life->fitted_km, *odometer_km);
  if (!part.failure) return "needs the odometer (--odometer)";
  if (part.later_cost)
    return *part.now_cost < *part.later_cost ? "cheaper to replace now" : "cheaper to leave";
  return fmt::format("left in, it costs {:.0f} min of later work on average, against {:.0f} min "
                     "now; prices would weigh it (--price)",
                     *part.failure * part.alone_min, part.extra_min);
}

/// What the chance rests on where the user did not say.
std::string assumed_age(const TogetherPart& part, const std::optional<double>& odometer_km) {
  if (!part.life || part.life->fitted_km || !odometer_km) return {};
  return fmt::format("; taken to be as old as the vehicle, {:.0f} km (or say :FITTED_KM)",
                     *odometer_km);
}

} // namespace

double failure_within(double life, double shape, double age, double distance) {
  return -portable_expm1(portable_pow(age / life, shape) -
                         portable_pow((age + distance) / life, shape));
}

std::vector<TogetherPart> replace_together(RepairKind kind, const JobFacts& facts,
                                           const TogetherQuestion& question) {
  std::vector<TogetherPart> parts;
  for (const Neighbour& neighbour : neighbours_of(kind, facts)) {
    TogetherPart part;
    part.kind = part_kind(neighbour.id);
    part.extra_min = neighbour.extra_min;
    part.alone_min = neighbour.alone_min;
    take_life(part, question);
    take_costs(part, question);
    part.advice = advice_for(part, question.odometer_km) + assumed_age(part, question.odometer_km);
    parts.push_back(std::move(part));
  }
  return parts;
}

} // namespace coolband
