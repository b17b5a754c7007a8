// SPDX-License-Identifier: Apache-2.0
// The thermal circuit in three states (engine with its coolant, radiator, wax element) and the
// sensor behind them, per heat capacity: few enough parameters to be told by a log, fast enough to
// be fitted to one.
//
// Not the circuit of `simulate`, which has more of the physics and needs more to be known.
#pragma once

#include "circuit/circuit_drive.hpp"
#include "circuit/reduced_fault.hpp"
#include "coolband/circuit/fitted_circuit.hpp"

#include <limits>
#include <span>
#include <vector>

namespace coolband {

/// In their own units, see CircuitParameter.
using CircuitValues = PerParameter<double>;

/// The usual values: NREL FASTSim v2 for the capacity, domain practice for the rest (from memory).
const CircuitValues& usual_circuit();

/// How a prediction is led back to the readings.
struct Observer {
  /// A deviation between reading and prediction is taken out of the state with this time constant;
  /// infinite: never, the prediction runs free.
  double correction_s = 300.0;
  /// What is taken out again and again is heat that the log does not show (a heater turned on, a
  /// wind): it is learned with this time constant; infinite: never.
  double unknown_heat_s = std::numeric_limits<double>::infinity();
};

/// A vehicle, what is wrong with it, and the wind it drives in. Fault and air must outlive it.
struct ReducedCase {
  CircuitValues circuit;
  const ReducedFault* fault = nullptr;
  std::span<const double> air; ///< a block, as CircuitInputs has it
};

/// What the sensor shows in each block by the circuit, °C, from what was known a block before; NaN
/// where nothing was. A free run uses readings only at the beginning of a stretch.
std::vector<double> predict_readings(const CircuitInputs& inputs, const CircuitValues& circuit,
                                     const Observer& observer = {}, const ReducedFault& fault = {});
/// The same for each case, in much less time than one after the other: all go side by side.
std::vector<std::vector<double>> predict_readings(const CircuitInputs& inputs,
                                                  std::span<const ReducedCase> cases,
                                                  const Observer& observer = {});

/// What the engine does at one moment.
struct HeatConditions {
  double coolant_c = 0.0;
  double ambient_c = 0.0;
  double turning = 0.0; ///< engine speed over 2000 rpm
  double load = 0.0;    ///< 0..1
  double wind = 0.0;    ///< road speed over 25 m/s
};

/// K/s of the whole heat capacity.
struct HeatRates {
  double from_engine = 0.0;
  double lost = 0.0;          ///< to the air from the block, and to the cabin
  double from_metal = 0.0;    ///< to the coolant
  double near_capacity = 0.5; ///< what moves with the coolant, as a share
};
HeatRates heat_rates(const CircuitValues& circuit, const HeatConditions& conditions,
                     double metal_c);

/// Where the coolant would come to rest if these conditions lasted, °C; `coolant_c` of them is not
/// used. At most `k_hottest_rest_c`.
double steady_coolant_c(const CircuitValues& circuit, const HeatConditions& conditions);
inline constexpr double k_hottest_rest_c = 200.0;

/// Temperature of the metal in each block, °C, as heat and readings have it.
std::vector<double> metal_course(const CircuitInputs& inputs, const CircuitValues& circuit);

/// The radiator's share of the flow at a wax temperature, for a valve without hysteresis.
double valve_share(const CircuitValues& circuit, double wax_c);

/// 1/s, from the radiator to the air: at rest, by the wind (`air`: see CircuitInputs) and by the
/// fan at this coolant temperature.
double air_conductance(const CircuitValues& circuit, double air, double coolant_c);

/// 1/s, what a steady radiator carries per kelvin between engine and air.
double radiator_conductance(const CircuitValues& circuit, double share, double turning,
                            double air_conductance);

} // namespace coolband
