// SPDX-License-Identifier: Apache-2.0
// Viscous, electric and fixed fans.
#include "circuit/fan.hpp"

#include "circuit/lag.hpp"

#include <algorithm>

namespace coolband {

namespace {

// A viscous clutch: its bimetal opens the valve between these temperatures of the air behind the
// core, its oil takes half a minute to follow, and even let go it drags (from memory).
constexpr double k_grips_from_c = 52.0;
constexpr double k_grips_fully_c = 70.0;
constexpr double k_oil_lag_s = 30.0;
constexpr double k_drag = 0.2;

// The engine speed, as a share of the rated one, at which the full fan draws `fan_air_mps`, and
// how much more it draws at most: a clutch slips under too much torque (judgement).
constexpr double k_full_at = 2.0 / 3.0;
constexpr double k_most = 1.2;

double viscous_grip(double before, double air_behind_c, double step_s) {
  const double aim =
      std::clamp((air_behind_c - k_grips_from_c) / (k_grips_fully_c - k_grips_from_c), 0.0, 1.0);
  return before + (aim - before) * lag_share(step_s, k_oil_lag_s);
}

double electric_grip(double before, double coolant_c, const CircuitParameters& parameters) {
  if (coolant_c >= parameters.fan_on_c) return 1.0;
  if (coolant_c <= parameters.fan_off_c) return 0.0;
  return before > 0.5 ? 1.0 : 0.0;
}

} // namespace

double fan_grip(double before, const FanSense& sense, const CircuitParameters& parameters,
                double step_s) {
  switch (parameters.fan) {
  case FanDrive::viscous: return viscous_grip(before, sense.air_behind_c, step_s);
  case FanDrive::electric:
    if (!sense.running && !parameters.fan_runs_on) return 0.0;
    return electric_grip(before, sense.coolant_c, parameters);
  case FanDrive::fixed: return sense.running ? 1.0 : 0.0;
  }
  return 0.0;
}

double fan_air_mps(double grip, const CircuitParameters& parameters, const Operation& operation,
                   const CircuitFaults& faults) {
  const double held = faults.fan_always_on ? 1.0 : grip;
  const double full_mps = parameters.fan_air_mps * faults.fan_factor;
  if (parameters.fan == FanDrive::electric) {
    // A stuck relay still hangs on the ignition unless the fan may run on.
    return operation.running || parameters.fan_runs_on ? held * full_mps : 0.0;
  }
  if (!operation.running) return 0.0;
  const double turn = std::min(operation.rpm / (k_full_at * parameters.rated_rpm), k_most);
  const double coupled = parameters.fan == FanDrive::viscous ? k_drag + (1.0 - k_drag) * held : 1.0;
  return full_mps * turn * coupled;
}

} // namespace coolband
