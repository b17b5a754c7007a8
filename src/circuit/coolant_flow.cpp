// SPDX-License-Identifier: Apache-2.0
// Pump, level, hose and valve: the flows through engine and radiator.
#include "circuit/coolant_flow.hpp"

#include "circuit/share.hpp"
#include "circuit/thermostat.hpp"

#include <algorithm>

namespace coolband {

namespace {

constexpr double k_kept_share = 0.02;

// With the engine off warm coolant still rises: about a hundredth of the rated flow (judgement).
constexpr double k_natural_flow = 0.01;

// The pump draws gas once more than this share is missing (judgement: expansion room and the top of
// the radiator come first), and nothing but gas when all is.
constexpr double k_pump_runs_dry_from = 0.3;

// A centrifugal pump on a belt turns on beyond the rated speed, but not without end.
constexpr double k_most_flow = 1.3;

double pump_flow(const CircuitParameters& parameters, const Operation& operation,
                 const CircuitFaults& faults, double missing) {
  if (!operation.running) return 0.0;
  const double turn = std::clamp(operation.rpm / parameters.rated_rpm, 0.0, k_most_flow);
  const double drawn = std::min((1.0 - missing) * (1.0 / (1.0 - k_pump_runs_dry_from)), 1.0);
  const double flow = turn * faults.pump_factor * (1.0 - faults.gas_at_pump) * drawn;
  if (faults.hose_collapse <= 0.0) return flow;
  // A soft hose on the suction side gives way to the pump's own pull.
  const double pull =
      share((operation.rpm - parameters.idle_rpm) / (parameters.rated_rpm - parameters.idle_rpm));
  return flow * (1.0 - faults.hose_collapse * pull);
}

/// Shares of what the pump would move; a core that is blocked inside costs the flow through it.
struct Ways {
  double radiator = 0.0;
  double bypass = 0.0;
};

Ways ways_of(const CircuitParameters& parameters, const CircuitFaults& faults, double lift) {
  const double wanted = radiator_share(lift, share(parameters.vent_share + faults.leak_share));
  return {wanted * faults.core_flow_factor, 1.0 - wanted};
}

} // namespace

double coolant_kj_per_l_k(const CoolantMix& mix) {
  constexpr double k_water = 0.9653 * 4.205;
  constexpr double k_half_glycol = 1.03095 * 3.551;
  if (mix.glycol == Glycol::none) return k_water;
  return k_water + (k_half_glycol - k_water) * mix.volume_pct / 50.0;
}

double missing_share(const CircuitParameters& parameters, const CircuitFaults& faults,
                     double boiled_l) {
  if (boiled_l <= 0.0) return faults.coolant_missing;
  const double whole_l = parameters.engine_coolant_l + parameters.radiator_coolant_l;
  return share(faults.coolant_missing + boiled_l / whole_l);
}

CoolantHeld coolant_held(const CircuitParameters& parameters, double missing) {
  const double there = std::max(1.0 - missing, k_kept_share);
  const double whole_l = parameters.engine_coolant_l + parameters.radiator_coolant_l;
  return {parameters.engine_coolant_l * there, parameters.radiator_coolant_l * there,
          whole_l * (there - k_kept_share)};
}

CoolantFlow coolant_flow(const CircuitParameters& parameters, const Operation& operation,
                         const CircuitFaults& faults, double lift, double missing) {
  const double natural = k_natural_flow * (1.0 - missing);
  const double pumped = std::max(pump_flow(parameters, operation, faults, missing), natural);
  const Ways ways = ways_of(parameters, faults, lift);
  return {pumped * (ways.radiator + ways.bypass), pumped * ways.radiator};
}

double inflow_share(const CircuitParameters& parameters, const CircuitFaults& faults, double lift) {
  const Ways ways = ways_of(parameters, faults, lift);
  const double both = ways.radiator + ways.bypass;
  return both > 0.0 ? ways.radiator / both : 0.0;
}

} // namespace coolband
