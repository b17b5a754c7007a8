// SPDX-License-Identifier: Apache-2.0
// The thermal circuit of one vehicle: engine heat into the block's metal, from there into the
// coolant, and out by the radiator, the block's surface and the cabin heater; a wax thermostat that
// shares the flow between radiator and bypass; a fan. Lumped, one step at a time.
//
// Published parameters are the defaults; what is judgement says so beside its number.
#pragma once

#include "circuit/boiling.hpp"
#include "coolband/circuit/coolant_fluid.hpp"

#include <cstdint>
#include <optional>
#include <string>

namespace coolband {

enum class FanDrive : std::uint8_t { viscous, electric, fixed };
/// Which water the wax element sits in: what leaves the engine, or the mix that enters it.
enum class ThermostatSide : std::uint8_t { outlet, inlet };

/// The default is a diesel 4x4 with a thermostat stamped 76 °C.
struct CircuitParameters {
  // engine
  double rated_rpm = 3600.0;
  double idle_rpm = 750.0;
  double full_heat_kw = 56.0;  ///< into metal and coolant at full load and rated speed, warm
  double no_load_share = 0.12; ///< of that, at no load and rated speed: pumping and friction
  double cold_extra = 0.4; ///< more friction and wall heat at 0 °C, as a share; none from 80 °C
  double block_kj_per_k = 120.0; ///< metal; with 8 L of coolant about 150 kJ/K (NREL FASTSim v2)
  double block_to_coolant_kw_per_k = 2.6; ///< at rated flow, about flow^0.8
  // coolant
  CoolantMix mix;
  double engine_coolant_l = 8.0;
  double radiator_coolant_l = 3.5;
  double radiator_metal_kj_per_k = 5.0;
  double flow_l_per_min = 120.0; ///< at rated engine speed, in proportion to it
  double cap_kpa = 95.0;         ///< gauge
  // thermostat
  ThermostatSide side = ThermostatSide::outlet;
  double opens_c = 76.0;     ///< start of opening; the rating stamped on it
  double span_k = 13.0;      ///< from the start of opening to fully open
  double hysteresis_k = 2.0; ///< closes so much later than it opens
  double wax_lag_s = 12.0;   ///< first-order lag of the element
  double vent_share = 0.005; ///< of the flow that passes the shut valve
  // radiator and fan
  double radiator_ua_kw_per_k = 1.2; ///< at `reference_air_mps` through the core
  double reference_air_mps = 4.0;
  double radiator_face_m2 = 0.28;
  double ram_share = 0.2; ///< air speed through the core per road speed
  double still_air_mps = 0.12;
  FanDrive fan = FanDrive::viscous;
  double fan_air_mps = 3.5; ///< air through the core that the full fan draws
  double fan_on_c = 92.0;   ///< electric: coolant temperature at which it starts
  double fan_off_c = 87.0;  ///< electric: and stops
  bool fan_runs_on = true;  ///< electric: also with the engine off
  // the rest
  double surface_kw_per_k = 0.014;          ///< block to still air
  double surface_kw_per_k_per_mps = 0.0008; ///< and so much more per road speed
  double heater_kw_per_k = 0.045;           ///< cabin heater fully on, at rated flow
};

/// The first thing about the parameters that is impossible ("span_k = 0: must be above 0"); none
/// when all are possible.
std::optional<std::string> invalid(const CircuitParameters& parameters);

/// What driver, road and weather ask of the circuit at one moment.
struct Operation {
  bool running = true;
  double load = 0.0; ///< 0..1 of the torque available at this engine speed
  double rpm = 0.0;
  double speed_mps = 0.0;
  double ambient_c = 20.0;
  double outside_kpa = 101.325; ///< absolute, above 0
  double heater = 0.0;          ///< 0..1
};

/// What faults do to the circuit at one moment. The default is a sound circuit.
struct CircuitFaults {
  double lift_at_least = 0.0; ///< the valve does not close below
  double lift_at_most = 1.0;  ///< nor open beyond
  double opens_later_k = 0.0;
  double more_hysteresis_k = 0.0;
  double wax_lag_factor = 1.0;
  double friction = 0.0;         ///< share of the stroke by which wax must be ahead before it slips
  double leak_share = 0.0;       ///< of the flow, past the shut valve
  double fan_factor = 1.0;       ///< of the air the fan draws; 0: dead
  bool fan_always_on = false;    ///< clutch seized, or relay stuck
  double core_air_factor = 1.0;  ///< outside of the core blocked: less air...
  double core_ua_factor = 1.0;   ///< ...or less surface (also inside)
  double core_flow_factor = 1.0; ///< inside of the core blocked: less coolant through it
  double pump_factor = 1.0;
  double hose_collapse = 0.0;   ///< 0..1: share of the flow lost at rated speed, none at idle
  double coolant_missing = 0.0; ///< 0..1 of the engine's and radiator's coolant
  double gas_at_pump = 0.0;     ///< 0..1: share of the flow that gas takes away now
  double cap_factor = 1.0;      ///< of the cap's pressure; 0: open
  double gas_heat = 0.0; ///< combustion gas in the coolant, share of the engine's heat at load
};

/// All that the future depends on, beside operation and faults.
struct CircuitState {
  double block_c = 20.0;
  double coolant_c = 20.0;  ///< leaving the engine
  double radiator_c = 20.0; ///< leaving the radiator
  double wax_c = 20.0;
  double wax_lift = 0.0;      ///< the lift that wax and spring ask for, hysteresis included
  double lift = 0.0;          ///< 0 shut .. 1 fully open, as a fault lets it be
  double fan = 0.0;           ///< 0..1: clutch grip, or the electric fan on
  double air_behind_c = 20.0; ///< of the air behind the core, which warms a viscous clutch
  double boiled_l = 0.0;      ///< coolant lost as steam so far
};

/// kW, each positive in the usual direction.
struct HeatFlows {
  double from_engine = 0.0; ///< combustion, friction and leaking gas, into metal and coolant
  double to_radiator_air = 0.0;
  double to_surroundings = 0.0; ///< block's surface
  double to_cabin = 0.0;
  double boiled = 0.0;
};

/// kJ since the start: from_engine = to_radiator_air + to_surroundings + to_cabin + boiled +
/// stored, to 1e-9 of the greatest of them. `stored` is taken from the temperatures, the rest from
/// the flows. Coolant that is lost takes its own warmth along and counts on neither side.
struct HeatLedger {
  HeatFlows sum; ///< kJ, not kW
  double stored = 0.0;
};

class Circuit {
 public:
  /// `parameters` must be valid. Everything starts at `start_c` (a cold soak), or as `start` says.
  Circuit(const CircuitParameters& parameters, double start_c);
  Circuit(const CircuitParameters& parameters, const CircuitState& start);

  /// Goes on by `step_s` (0 < step_s <= 1) under constant conditions.
  void step(const Operation& operation, const CircuitFaults& faults, double step_s);

  [[nodiscard]] const CircuitState& state() const { return state_; }
  [[nodiscard]] const HeatFlows& flows() const { return flows_; } ///< means over the last step
  [[nodiscard]] const HeatLedger& ledger() const { return ledger_; }

 private:
  CircuitParameters parameters_;
  CircuitState state_;
  HeatFlows flows_;
  HeatLedger ledger_;
  BoilingCurve boiling_;
};

} // namespace coolband
