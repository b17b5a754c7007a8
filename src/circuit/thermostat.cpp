// SPDX-License-Identifier: Apache-2.0
// The valve's play, its friction, and the two ways that it shares the flow between.
#include "circuit/thermostat.hpp"

#include "circuit/share.hpp"

#include <algorithm>

namespace coolband {

namespace {

// Sliding friction as a share of the friction at rest (judgement): how far short of its place a
// valve that has slipped comes to rest.
constexpr double k_sliding_share = 0.3;

// Radiator port and bypass port are orifices in parallel under one pressure, their areas in
// proportion to lift and to what is left of it. Hoses and core make the long way the harder one:
// at half lift nine tenths still take the bypass (judgement; with it the default regulates where
// the trade says that it does).
constexpr double k_bypass_ease = 9.0;

} // namespace

double lift_by_wax(double before, double wax_c, const CircuitParameters& parameters,
                   const CircuitFaults& faults) {
  const double per_k = 1.0 / parameters.span_k;
  const double push = (wax_c - parameters.opens_c - faults.opens_later_k) * per_k;
  const double width = (parameters.hysteresis_k + faults.more_hysteresis_k) * per_k;
  const double hold = faults.friction;
  if (push - hold > before) return share(push - k_sliding_share * hold);
  // Below the opening temperature the spring pulls on, hence a push below 0.
  if (push + width + hold < before) return share(push + width + k_sliding_share * hold);
  return before;
}

double lift_allowed(double wax_lift, const CircuitFaults& faults) {
  return std::max(std::min(wax_lift, faults.lift_at_most), faults.lift_at_least);
}

double radiator_share(double lift, double past_valve) {
  const double by_valve = lift / (lift + k_bypass_ease * (1.0 - lift));
  return past_valve + (1.0 - past_valve) * by_valve;
}

} // namespace coolband
