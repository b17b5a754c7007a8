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
#include <optional>
#include <string_view>
#include <vector>

namespace coolband {

enum class CircuitParameter : std::uint8_t {
  idle_heat,  ///< K/s at 2000 rpm without load
  load_heat,  ///< K/s more at 2000 rpm and full load
  loss,       ///< 1/s, engine to still air
  wind_loss,  ///< 1/s more at 25 m/s
  heater,     ///< 1/s more at 5 °C outside and below; none from 18 °C on
  inner,      ///< 1/s, from the half of the capacity next to the coolant to the other half
  opens,      ///< °C, start of opening
  span,       ///< K from there to fully open
  curve,      ///< exponent with which the way to the radiator opens by the lift
  bypass,     ///< at half lift the bypass is so many times as easy a way as the radiator
  flow,       ///< 1/s, coolant through the radiator at 2000 rpm, valve fully open
  still_air,  ///< 1/s, radiator to air at a standstill, fan as it runs in normal driving
  ram_air,    ///< 1/s more at 25 m/s
  hysteresis, ///< K
  wax_lag,    ///< s
};
inline constexpr std::size_t k_circuit_parameters = 15;
/// "idle_heat", ... as the band file names them.
std::string_view name_of(CircuitParameter parameter);

template <class T>
using PerParameter = std::array<T, k_circuit_parameters>;

/// NREL FASTSim v2 (default of its engine thermal model): engine metal and coolant.
inline constexpr double k_usual_capacity_kj_per_k = 150.0;

/// What one drive tells of the circuit: a normal likelihood, which may leave some of it open.
/// Parameters above 0 by nature stand as natural logarithms, `opens` in °C.
struct CircuitEvidence {
  std::vector<double> information; ///< inverse covariance, lower triangle by rows
  std::vector<double> pull;        ///< that times the likeliest values
  double misfit_k = 0.0;           ///< robust s.d. of the one-step prediction error, K
  bool saw_load = false;
  bool saw_speed = false;
  bool saw_ambient = false;
};

/// One parameter in its own unit.
struct CircuitValue {
  double value = 0.0;
  double low = 0.0; ///< 95 % limits
  double high = 0.0;
  /// The drives told more than half of what was known beforehand; else the value is the usual one,
  /// hardly touched.
  bool identified = false;
};

struct FittedCircuit {
  PerParameter<CircuitValue> values;
  std::size_t drives = 0;
  double misfit_k = 0.0; ///< median over the drives
  bool saw_load = false; ///< in most of the drives
  bool saw_speed = false;
  bool saw_ambient = false;

  [[nodiscard]] const CircuitValue& operator[](CircuitParameter parameter) const {
    return values[static_cast<std::size_t>(parameter)];
  }
};

} // namespace coolband
