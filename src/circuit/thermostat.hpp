// SPDX-License-Identifier: Apache-2.0
// The thermostat's valve: from the wax to its lift, and from the lift to the way of the coolant.
#pragma once

#include "circuit/circuit.hpp"

namespace coolband {

/// The lift that wax and spring bring about, from the lift `before`: a play between the opening and
/// the closing branch; with friction it holds, and slips when the wax is far enough ahead.
double lift_by_wax(double before, double wax_c, const CircuitParameters& parameters,
                   const CircuitFaults& faults);

/// As the fault lets it be: between `lift_at_least` and `lift_at_most`.
double lift_allowed(double wax_lift, const CircuitFaults& faults);

/// Share of the coolant that goes through the radiator. `past_valve` of it does so even with the
/// valve shut: vent and leak.
double radiator_share(double lift, double past_valve);

} // namespace coolband
