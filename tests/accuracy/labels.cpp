// SPDX-License-Identifier: Apache-2.0
// Row by row, the faulty reading against the healthy one.
#include "accuracy/labels.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <utility>

namespace coolband::accuracy {
namespace {

// A shorter time of agreement, as readings cross, does not end a stretch; a shorter time of one
// sign does not make a fault two-sided.
constexpr double k_bridge_s = 60.0;

/// What one row shows of the fault.
struct Difference {
  double k = 0.0;
  bool running = false;
  bool lost = false; ///< no reading where the healthy drive has one
  [[nodiscard]] bool wrong() const { return lost || std::abs(k) >= k_differs_k; }
};

Difference difference(const SimulatedRow& faulty, const SimulatedRow& healthy) {
  Difference d;
  d.running = faulty.rpm > 0.0;
  if (std::isnan(healthy.coolant_c)) return d;
  d.lost = std::isnan(faulty.coolant_c);
  if (!d.lost) d.k = faulty.coolant_c - healthy.coolant_c;
  return d;
}

void add_to_stretches(std::vector<Stretch>& stretches, double from_s, double to_s, double bridge) {
  if (!stretches.empty() && from_s - stretches.back().to_s <= bridge)
    stretches.back().to_s = to_s;
  else
    stretches.push_back({from_s, to_s});
}

/// Longest time that readings stood still while the healthy ones moved.
bool froze_unseen(const std::vector<SimulatedRow>& faulty,
                  const std::vector<SimulatedRow>& healthy) {
  double from_s = 0.0;
  double low_c = 1e9;
  double high_c = -1e9;
  for (std::size_t i = 0; i < faulty.size(); ++i) {
    if (!faulty[i].fault_active) {
      from_s = faulty[i].time_s;
      low_c = 1e9;
      high_c = -1e9;
      continue;
    }
    low_c = std::min(low_c, healthy[i].truth.coolant_c);
    high_c = std::max(high_c, healthy[i].truth.coolant_c);
    if (faulty[i].time_s - from_s >= k_frozen_s && high_c - low_c > k_frozen_over_k) return true;
  }
  return false;
}

/// The size that rows of so much time reach in all; 0 where there is less time.
double held_for(std::vector<double> sizes_k, double time_s, double period_s) {
  const auto rows = static_cast<std::size_t>(std::max(1.0, std::ceil(time_s / period_s)));
  if (sizes_k.size() < rows) return 0.0;
  const auto least = sizes_k.begin() + static_cast<std::ptrdiff_t>(rows) - 1;
  std::nth_element(sizes_k.begin(), least, sizes_k.end(), std::greater<>{});
  return *least;
}

std::vector<Condition> both(Condition first, Condition second) { return {first, second}; }

/// A valve that is slow, catches or stops halfway is `sticking`; where it only ever ran too cold
/// (or too hot) in this drive, so did one stuck open (or shut).
std::vector<Condition> sticking_names(const Label& label) {
  std::vector<Condition> names{Condition::thermostat_sticking};
  if (label.above_s < k_bridge_s && label.below_s >= k_bridge_s)
    names.push_back(Condition::thermostat_stuck_open);
  if (label.below_s < k_bridge_s && label.above_s >= k_bridge_s)
    names.push_back(Condition::thermostat_stuck_closed);
  return names;
}

std::vector<Condition> thermostat_names(const FaultPlan& plan, const Label& label) {
  switch (plan.kind) {
  case FaultKind::thermostat_stuck_open:
  case FaultKind::thermostat_leaking:
    if (plan.spells) return both(Condition::thermostat_stuck_open, Condition::thermostat_sticking);
    return {Condition::thermostat_stuck_open};
  case FaultKind::thermostat_stuck_closed:
    if (plan.spells)
      return both(Condition::thermostat_stuck_closed, Condition::thermostat_sticking);
    return {Condition::thermostat_stuck_closed};
  case FaultKind::thermostat_late:
    return both(Condition::thermostat_sticking, Condition::thermostat_stuck_closed);
  default: return sticking_names(label);
  }
}

} // namespace

Label label_of(FaultKind kind, const std::vector<SimulatedRow>& faulty,
               const std::vector<SimulatedRow>& healthy) {
  const bool drops = kind == FaultKind::sensor_dropouts;
  Label label;
  double wrong_s = 0.0;
  std::vector<double> sizes_k;
  std::size_t separate = 0;
  bool before = false;
  const double period_s = faulty.size() > 1 ? faulty[1].time_s - faulty[0].time_s : 1.0;
  for (std::size_t i = 0; i < std::min(faulty.size(), healthy.size()); ++i) {
    const Difference d = difference(faulty[i], healthy[i]);
    const bool wrong = d.wrong() && d.running;
    if (wrong && !before) ++separate;
    before = wrong;
    if (!d.running) continue;
    label.lowest_k = std::min(label.lowest_k, d.k);
    label.highest_k = std::max(label.highest_k, d.k);
    label.below_s += d.k <= -k_differs_k ? period_s : 0.0;
    label.above_s += d.k >= k_differs_k ? period_s : 0.0;
    if (!wrong) continue;
    wrong_s += period_s;
    if (!d.lost) sizes_k.push_back(std::abs(d.k));
    add_to_stretches(label.stretches, faulty[i].time_s, faulty[i].time_s + period_s,
                     drops ? period_s : k_bridge_s);
  }
  label.observable = drops ? separate >= k_least_dropouts : wrong_s >= k_observable_s;
  label.off_by_k = held_for(std::move(sizes_k), k_observable_s, period_s);
  const bool froze = kind == FaultKind::sensor_frozen && froze_unseen(faulty, healthy);
  if (froze) label.observable = true;
  if (!label.observable)
    label.off_by_k = 0.0;
  else if (froze || drops)
    label.off_by_k = std::numeric_limits<double>::infinity();
  return label;
}

std::vector<Condition> right_names(const FaultPlan& plan, const Label& label) {
  switch (plan.kind) {
  case FaultKind::fan_dead:
  case FaultKind::fan_clutch_slipping: return {Condition::fan_not_cooling};
  // Runs a little colder when it shows at all: no name of the contract is meant for it.
  case FaultKind::fan_stuck_on:
    return {Condition::fan_not_cooling, Condition::radiator_restricted, Condition::coolant_flow_low,
            Condition::air_or_low_coolant, Condition::sensor_fault};
  case FaultKind::radiator_blocked_outside:
  case FaultKind::radiator_blocked_inside: return {Condition::radiator_restricted};
  case FaultKind::pump_slip:
  case FaultKind::hose_collapsed: return {Condition::coolant_flow_low};
  case FaultKind::coolant_low:
  case FaultKind::air_trapped:
  case FaultKind::cap_not_holding:
  case FaultKind::combustion_gas: return {Condition::air_or_low_coolant};
  case FaultKind::sensor_offset:
  case FaultKind::sensor_series_resistance:
  case FaultKind::sensor_leakage:
  case FaultKind::sensor_slow:
  case FaultKind::sensor_dropouts:
  case FaultKind::sensor_frozen: return {Condition::sensor_fault};
  default: return thermostat_names(plan, label);
  }
}

bool is_thermostat(FaultKind kind) { return kind <= FaultKind::thermostat_sticking; }

bool is_fault(Condition condition) {
  return condition != Condition::normal &&
         static_cast<std::size_t>(condition) < static_cast<std::size_t>(k_cause_count);
}

} // namespace coolband::accuracy
