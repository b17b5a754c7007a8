// SPDX-License-Identifier: Apache-2.0
// One thing wrong, in the terms of the reduced circuit.
#pragma once

namespace coolband {

/// What one thing wrong does to the circuit. The default is a sound one.
struct ReducedFault {
  double lift_at_least = 0.0; ///< the valve does not shut below, share of its stroke
  double lift_at_most = 1.0;  ///< nor open beyond
  double opens_later_k = 0.0;
  double more_hysteresis_k = 0.0;
  double wax_lag_factor = 1.0;
  double friction = 0.0;  ///< share of the stroke by which the wax must be ahead before it slips
  double leak = 0.0;      ///< share of the flow that passes the shut valve
  double still_air = 1.0; ///< factors of the circuit's own
  double fan = 1.0;
  double ram_air = 1.0;
  double flow = 1.0;
  double load_heat = 1.0;
  double offset_k = 0.0;        ///< the sensor reads so much too high
  double series_ohm = 0.0;      ///< in the sensor's lead, or
  double leakage_per_ohm = 0.0; ///< beside it
  double sensor_lag_factor = 1.0;

  /// What the sensor shows at a temperature, and the temperature at which it shows that.
  [[nodiscard]] double shown_c(double true_c) const;
  [[nodiscard]] double true_c(double shown_c) const;
};

} // namespace coolband
