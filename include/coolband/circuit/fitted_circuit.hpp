// SPDX-License-Identifier: Apache-2.0
// The thermal circuit of one vehicle as its normal drives show it: what the engine gives, what the
// thermostat does, what radiator and air carry away.
//
// A log of temperatures tells heat flows only as a share of the heat capacity of engine and
// coolant. So everything here is per heat capacity: K/s for heat, 1/s for conductances. Times a
// capacity in kJ/K (`k_usual_capacity_kj_per_k` where the vehicle's own is not known) they are kW
// and kW/K.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

namespace coolband {

enum class CircuitParameter : std::uint8_t {
  idle_heat,  ///< K/s at 2000 rpm without load
  load_heat,  ///< K/s more at 2000 rpm and full load
  loss,       ///< 1/s, engine to still air
  wind_loss,  ///< 1/s more at 25 m/s
  heater,     ///< 1/s more at 5 °C outside and below; none from 18 °C on
  near,       ///< share of the heat capacity that moves with the coolant
  metal,      ///< 1/s, from the rest, the metal that the engine heats, to there
  opens,      ///< °C, start of opening
  span,       ///< K from there to fully open
  curve,      ///< exponent with which the way to the radiator opens by the lift
  bypass,     ///< at half lift the bypass is so many times as easy a way as the radiator
  flow,       ///< 1/s, coolant through the radiator at 2000 rpm, valve fully open
  still_air,  ///< 1/s, radiator to air at a standstill, fan at rest
  ram_air,    ///< 1/s more at 25 m/s
  hysteresis, ///< K
  wax_lag,    ///< s, first-order lag of the thermostat's element
  sensor_lag, ///< s, of the reading (published response time: 15 s)
  fan,        ///< 1/s more with the fan at work
  fan_after,  ///< K above `opens` at which the fan comes in
};
inline constexpr std::size_t k_circuit_parameters = 19;
/// "idle_heat", ... as the band file names them.
std::string_view name_of(CircuitParameter parameter);

template <class T>
using PerParameter = std::array<T, k_circuit_parameters>;

/// NREL FASTSim v2 (default of its engine thermal model): engine metal and coolant.
inline constexpr double k_usual_capacity_kj_per_k = 150.0;

/// One block of a drive as the circuit sees it, in steps that a log can tell apart; small, since a
/// band keeps those of its latest drives.
struct CircuitBlock {
  std::uint16_t length_ds = 0; ///< 0.1 s
  std::int16_t coolant_cc = 0; ///< 0.01 °C as shown; `k_no_reading`
  std::int16_t ambient_dc = 0; ///< 0.1 °C; the cold engine, else 15 °C, if not logged
  std::uint8_t turning = 0;    ///< 1/64 of 2000 rpm, made up if not logged; 0: it stands
  std::uint8_t load = 0;       ///< 0.5 %; made up from the road where it is not logged
  std::uint8_t speed_kmh = 0;  ///< 0 where it is not logged
  bool begins = false;         ///< a new stretch: nothing is known of what was before
  bool scored = false;         ///< a prediction is held against the reading

  static constexpr std::int16_t k_no_reading = -32768;
};

/// The beginning of a drive, block by block.
struct CircuitDrive {
  std::vector<CircuitBlock> blocks;
  bool saw_load = false;
  bool saw_turning = false;
  bool saw_speed = false;
  bool saw_ambient = false;
};

/// One parameter in its own unit.
struct CircuitValue {
  double value = 0.0;
  double low = 0.0; ///< 95 % limits, drives counted, not rows
  double high = 0.0;
  /// The drives told three quarters of what was open before (the standard error is half of the
  /// usual scatter from vehicle to vehicle); else the value is the usual one, hardly touched.
  bool identified = false;
};

struct FittedCircuit {
  PerParameter<CircuitValue> values;
  std::size_t drives = 0;
  double hours = 0.0; ///< of driving behind it
  /// Lower triangle by rows of L; L times its transpose is the covariance of all parameters
  /// (natural logarithms, but `opens` in °C). Empty where it is not known.
  std::vector<double> joint;
  double misfit_k = 0.0; ///< robust s.d. of reading less prediction, corrected over 5 min, K
  bool saw_load = false; ///< in most of the drives
  bool saw_speed = false;
  bool saw_ambient = false;

  [[nodiscard]] const CircuitValue& operator[](CircuitParameter parameter) const {
    return values[static_cast<std::size_t>(parameter)];
  }
};

} // namespace coolband
