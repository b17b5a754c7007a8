// SPDX-License-Identifier: Apache-2.0
// The apparent conductance of the radiator: from the balance of heat, what must have left through
// it, per kelvin between coolant and air. Against coolant temperature it draws the valve: shut
// below, rising from the start of opening. A valve that hangs open, a dead fan or a blocked
// radiator each bend it in another place.
#pragma once

#include "circuit/circuit_drive.hpp"
#include "circuit/reduced_circuit.hpp"

#include <optional>
#include <vector>

namespace coolband {

/// Means over about two minutes.
struct ConductancePoint {
  double time_s = 0.0; ///< from the drive's first block
  double coolant_c = 0.0;
  double speed_kmh = 0.0;
  double turning = 0.0;     ///< engine speed over 2000 rpm
  double conductance = 0.0; ///< 1/s; times the heat capacity it is W/K and so on
  double error = 0.0; ///< standard error, 1/s: reading, its rise, and a tenth of the engine's heat
  double expected = 0.0; ///< 1/s, of the circuit at this temperature, road speed and engine speed
};

/// Only where the engine runs and the coolant is 25 K and more above the air; nothing across holes.
/// Flows less than the error about 0 may come out negative.
std::vector<ConductancePoint> apparent_conductance(const CircuitDrive& drive,
                                                   const CircuitValues& circuit);

/// Points of one range of coolant temperature.
struct ConductanceBin {
  double low_c = 0.0;
  double high_c = 0.0;
  double lower = 0.0; ///< quartiles, 1/s
  double median = 0.0;
  double upper = 0.0;
  double expected = 0.0; ///< median of what the circuit expects in the same moments
  std::size_t points = 0;
};

/// In steps of `step_k`; ranges with less than three points are left out.
std::vector<ConductanceBin> conductance_by_coolant(const std::vector<ConductancePoint>& points,
                                                   double step_k = 2.5);

/// The values of a fit; what it did not identify is the usual value.
CircuitValues values_of(const FittedCircuit& fitted);

} // namespace coolband
