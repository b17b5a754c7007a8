// SPDX-License-Identifier: Apache-2.0
// The faults of one drive, looked at again only when one of them changes.
#include "circuit/fault.hpp"

#include <algorithm>
#include <iterator>

namespace coolband {

namespace {

constexpr std::array<std::string_view, k_fault_kinds> k_names{
    "thermostat-stuck-open",
    "thermostat-stuck-closed",
    "thermostat-part-open",
    "thermostat-slow",
    "thermostat-wide-hysteresis",
    "thermostat-late",
    "thermostat-leaking",
    "thermostat-sticking",
    "fan-dead",
    "fan-clutch-slipping",
    "fan-stuck-on",
    "radiator-blocked-outside",
    "radiator-blocked-inside",
    "pump-slip",
    "coolant-low",
    "air-trapped",
    "hose-collapsed",
    "cap-not-holding",
    "combustion-gas",
    "sensor-offset",
    "sensor-series-resistance",
    "sensor-leakage",
    "sensor-slow",
    "sensor-dropouts",
    "sensor-frozen",
};

// Bursts come the more often the worse the fault is.
std::optional<TroubleHabit> trouble_habit_of(FaultKind kind, double severity) {
  const double s = std::clamp(severity, 0.0, 2.0);
  if (s == 0.0) return std::nullopt;
  switch (kind) {
  case FaultKind::coolant_low:
  case FaultKind::air_trapped:
  case FaultKind::combustion_gas: return TroubleHabit{25.0 / s, 130.0 / s, 1.0, 5.0, 4, 14};
  case FaultKind::sensor_dropouts: return TroubleHabit{25.0 / s, 130.0 / s, 2.0, 15.0, 1, 1};
  case FaultKind::thermostat_sticking: return TroubleHabit{0.0, 0.0, 20.0, 60.0, 1, 1};
  default: return std::nullopt;
  }
}

bool at_work(FaultKind kind, const Trouble& trouble) {
  return kind != FaultKind::sensor_dropouts || trouble.burst;
}

} // namespace

std::array<FaultKind, k_fault_kinds> all_fault_kinds() {
  std::array<FaultKind, k_fault_kinds> kinds{};
  for (std::size_t i = 0; i < k_fault_kinds; ++i) kinds[i] = static_cast<FaultKind>(i);
  return kinds;
}

std::string_view name_of(FaultKind kind) { return k_names[static_cast<std::size_t>(kind)]; }

std::optional<FaultKind> fault_named(std::string_view name) {
  const auto found = std::find(k_names.begin(), k_names.end(), name);
  if (found == k_names.end()) return std::nullopt;
  return static_cast<FaultKind>(std::distance(k_names.begin(), found));
}

FaultCourse::FaultCourse(const std::vector<FaultPlan>& plans, std::uint64_t seed) {
  SplitMix seeds(seed);
  for (const FaultPlan& plan : plans) {
    const std::uint64_t spells = seeds.bits();
    const std::uint64_t trouble = seeds.bits();
    running_.push_back(
        {plan, SpellClock(plan.spells, plan.from_s, spells),
         TroubleClock(trouble_habit_of(plan.kind, plan.severity), plan.from_s, trouble)});
  }
  go_to(0.0);
}

void FaultCourse::change(double time_s) {
  circuit_ = {};
  sensor_ = {};
  active_ = false;
  next_change_s_ = std::numeric_limits<double>::infinity();
  for (Running& fault : running_) {
    const FaultPlan& plan = fault.plan;
    if (time_s >= plan.to_s || plan.severity <= 0.0) continue;
    next_change_s_ = std::min(next_change_s_, time_s < plan.from_s ? plan.from_s : plan.to_s);
    if (time_s < plan.from_s) continue;
    fault.spells.go_to(time_s);
    fault.trouble.go_to(time_s);
    next_change_s_ = std::min({next_change_s_, fault.spells.next_s(), fault.trouble.next_s()});
    if (!fault.spells.on()) continue;
    put_in(plan.kind, plan.severity, fault.trouble.now(), circuit_, sensor_);
    active_ = active_ || at_work(plan.kind, fault.trouble.now());
  }
}

} // namespace coolband
