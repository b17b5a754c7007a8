// SPDX-License-Identifier: Apache-2.0
// The fan: how hard it grips, and the air that it draws.
#pragma once

#include "circuit/circuit.hpp"

namespace coolband {

/// What makes a fan grip.
struct FanSense {
  double coolant_c = 0.0;
  double air_behind_c = 0.0; ///< behind the core
  bool running = true;
};

/// 0..1, `step_s` after it was `before`: a viscous clutch follows the warmth of the air behind the
/// core with the lag of its oil; an electric fan is switched by the coolant; a fixed one turns with
/// the engine.
double fan_grip(double before, const FanSense& sense, const CircuitParameters& parameters,
                double step_s);

/// Air through the core that the fan alone would draw, m/s.
double fan_air_mps(double grip, const CircuitParameters& parameters, const Operation& operation,
                   const CircuitFaults& faults);

} // namespace coolband
