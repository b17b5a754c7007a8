// SPDX-License-Identifier: Apache-2.0
// A small physical simulation of one drive, healthy or faulty, for tests and for the demo logs.
//
// It is written apart from the library's own thermal circuit, so that the library is never judged
// by its own equations; hence the namespace of its own. Lumped states: engine metal with its
// coolant, radiator, wax element, sensor. Heat comes from load and engine speed, and leaves through
// the radiator (ram air and fan), the block's surface and the cabin heater. The same plan and seed
// give the same drive everywhere, once values are rounded for output.
//
// Trade values it is made to reproduce (common practice, no source): a thermostat stamped 76 °C
// regulates near 80, hanging open it runs near 70, hanging shut near 90, sticking does both in
// turn; a full warm-up takes about 10 minutes of running.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace coolband::testing {

enum class FanKind { viscous, electric };

/// The default is a diesel 4x4 with a thermostat stamped 76 °C.
struct Vehicle {
  double opens_c = 76.0;             ///< start of opening; the rating stamped on the thermostat
  double span_c = 13.0;              ///< K from start of opening to fully open
  double hysteresis_k = 2.0;         ///< K by which the valve closes later than it opens
  double wax_lag_s = 12.0;           ///< first-order lag of the wax element
  double engine_kj_per_k = 150.0;    ///< heat capacity of engine metal and its coolant
  double radiator_kj_per_k = 18.0;   ///< heat capacity of the radiator and its coolant
  double full_heat_kw = 56.0;        ///< heat to the coolant at full load and rated speed
  double coolant_kw_per_k = 7.3;     ///< coolant capacity rate at rated speed; 120 L/min
  double radiator_ua_kw_per_k = 1.2; ///< at 4 m/s of air through the core
  double radiator_area_m2 = 0.28;    ///< core face
  FanKind fan = FanKind::viscous;
  double fan_air_mps = 3.5;       ///< air through the core that the full fan draws
  double fan_on_c = 92.0;         ///< electric only: coolant temperature at which it starts
  double fan_off_c = 87.0;        ///< electric only: and stops
  double heater_kw_per_k = 0.045; ///< cabin heater fully on
  double block_surface = 1.0;     ///< of the engine to the wind, times that of the default
  double mass_kg = 2400.0;
  double drag_area_m2 = 1.1; ///< drag coefficient times frontal area
  double rated_power_kw = 92.0;
  double rated_rpm = 3600.0;
  double idle_rpm = 750.0;
  double sensor_lag_s = 12.0;
  double sensor_step_c = 1.0; ///< resolution of the reading; 0: none
  double boils_c = 122.0;     ///< the cap vents what would heat the coolant further
};

enum class LegKind { idle, town, road, motorway, climb, descent };

struct Leg {
  LegKind kind = LegKind::road;
  double minutes = 10.0;
};

struct DrivePlan {
  std::uint64_t seed = 1;
  std::vector<Leg> legs;
  double ambient_c = 20.0;      ///< at the start; falls with height as air does
  double start_c = 20.0;        ///< temperature of engine, radiator and sensor at the start
  double altitude_m = 100.0;    ///< at the start
  double extra_mass_kg = 0.0;   ///< payload and trailer
  double sample_period_s = 1.0; ///< a multiple of 0.5 s
};

enum class Fault {
  none,
  stuck_open,       ///< valve never closes below a lift of 0.45 x severity
  stuck_closed,     ///< valve yields 10 K x severity late, and not fully
  sticking,         ///< friction holds the valve until the wax pushes or pulls hard; then it slips
  fan_dead,         ///< no forced draught (severity unused)
  radiator_blocked, ///< loses severity x 60 % of its surface, x 40 % of its air; severity <= 1.5
  pump_weak,        ///< loses severity x 65 % of its flow; severity <= 1.5
  low_coolant,      ///< gas now and then stops the flow and uncovers the sensor
  sensor_dropouts,  ///< readings missing, or at -40 (open circuit), for seconds
  sensor_jumps,     ///< the same, and jumps by tens of degrees
  sensor_frozen,    ///< the reading stays what it was at `from_s`
  sensor_series_resistance, ///< severity x 100 ohm in the sensor's lead: reads cold when hot
};

/// Severity 1 is the fault as a workshop usually meets it; less is milder, more is worse
/// (stuck_open at 2.3 is a thermostat left out).
struct FaultPlan {
  Fault fault = Fault::none;
  double severity = 1.0;
  double from_s = 0.0;
  double to_s = 1.0e9;
};

/// Where the heat went, in kJ: from_engine = to_radiator_air + to_surroundings + to_cabin + vented
/// + stored.
struct HeatLedger {
  double from_engine = 0.0;
  double to_radiator_air = 0.0;
  double to_surroundings = 0.0;
  double to_cabin = 0.0;
  double vented = 0.0;
  double stored = 0.0;
};

/// Columns of equal length. `coolant_c` is what the sensor tells (NaN: no reading); the `true_`
/// columns and the ledger are the answers, which no log has.
struct DriveLog {
  std::vector<float> time_s;
  std::vector<float> coolant_c;
  std::vector<float> ambient_c;
  std::vector<float> load_pct;
  std::vector<float> rpm;
  std::vector<float> speed_kmh;
  std::vector<float> altitude_m;
  std::vector<float> true_coolant_c;
  std::vector<float> true_lift; ///< of the thermostat valve, 0 shut to 1 fully open
  HeatLedger heat;

  [[nodiscard]] std::size_t size() const { return time_s.size(); }
};

DriveLog simulate_drive(const Vehicle& vehicle, const DrivePlan& plan, const FaultPlan& fault = {});

/// The drive as CSV: time_s,coolant_c,ambient_c,load_pct,rpm,speed_kmh,altitude_m. A missing
/// reading is an empty cell.
std::string drive_csv(const DriveLog& log);

/// Cross-flow heat exchanger effectiveness, larger capacity rate mixed. `ratio` is the smaller
/// capacity rate over the larger, above 0. Incropera, Fundamentals of Heat and Mass Transfer,
/// table 11.3 (from memory).
double crossflow_effectiveness(double transfer_units, double ratio);

} // namespace coolband::testing
