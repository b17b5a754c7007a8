// SPDX-License-Identifier: Apache-2.0
// What each fault means in physical terms at severity s, 0 (none) to 2 (worse than usual).
//
// Severity 1 is made to look as the trade says that such a fault looks (common practice, no
// source); the numbers are judgement.
//
//   thermostat-stuck-open       the valve never closes below a lift of 0.45 s
//   thermostat-stuck-closed     yields 10 s K late, and to 1 - 0.5 s of its stroke at most
//   thermostat-part-open        s <= 1: stays between lifts 0.4 s and 1 - 0.6 s; beyond, held at
//                               0.4 - 0.15 (s - 1)
//   thermostat-slow             the wax lags 1 + 4 s times as long
//   thermostat-wide-hysteresis  closes another 8 s K late
//   thermostat-late             opens 8 s K late
//   thermostat-leaking          0.03 s of the flow passes the shut valve
//   thermostat-sticking         the wax must be ahead by 0.8 s of the stroke, 0.7 to 1.05 times
//                               that from time to time, before the valve slips
//   fan-dead                    draws 1 - s of its air; none from s = 1
//   fan-clutch-slipping         draws 1/(1 + 1.5 s) of its air
//   fan-stuck-on                coupled for good, at any s above 0
//   radiator-blocked-outside    1/(1 + 0.7 s) of the air, 1/(1 + 0.3 s) of the surface
//   radiator-blocked-inside     1/(1 + 0.4 s) of the core's flow, 1/(1 + 1.2 s) of the surface
//   pump-slip                   1/(1 + 1.2 s) of the flow
//   coolant-low                 0.25 s of the coolant is gone; gas in bursts, s times as often,
//                               takes 0.3 to 0.9 of the flow, and in half its slugs the sensor
//                               stands in gas 5 to 25 K colder
//   air-trapped                 0.05 s gone, the wax in an air pocket lags 1 + s times as long; gas
//                               in bursts takes 0.2 to 0.6 of the flow and uncovers likewise
//   hose-collapsed              loses 0.45 s of the flow at rated speed, none at idle
//   cap-not-holding             holds 1 - s of its pressure; beyond 1, 0.1 (s - 1) has boiled over
//   combustion-gas              0.2 s of the engine's heat at load, straight into the coolant;
//                               takes 0.05 s of the flow, and in bursts up to 0.4 more
//   sensor-offset               reads 6 s K too much
//   sensor-series-resistance    100 s ohm in its lead: cold when hot
//   sensor-leakage              2000/s ohm beside it: warm when cold
//   sensor-slow                 lags 1 + 4 s times as long
//   sensor-dropouts             for 2 to 15 s no reading, or -40 °C; s times as often
//   sensor-frozen               shows what it last showed, at any s above 0
#include "circuit/fault.hpp"

#include "circuit/share.hpp"

#include <algorithm>

namespace coolband {

namespace {

/// Flow or air that is left when so much more stands in its way.
double left(double in_the_way) { return 1.0 / (1.0 + in_the_way); }

void hold_part_open(double s, CircuitFaults& circuit) {
  const double grade = std::min(s, 1.0);
  const double held = 0.4 - 0.15 * std::max(s - 1.0, 0.0);
  circuit.lift_at_least = std::max(circuit.lift_at_least, held * grade);
  circuit.lift_at_most = std::min(circuit.lift_at_most, 1.0 - (1.0 - held) * grade);
}

void put_in_thermostat(FaultKind kind, double s, const Trouble& trouble, CircuitFaults& circuit) {
  switch (kind) {
  case FaultKind::thermostat_stuck_open:
    circuit.lift_at_least = std::max(circuit.lift_at_least, share(0.45 * s));
    break;
  case FaultKind::thermostat_stuck_closed:
    circuit.opens_later_k += 10.0 * s;
    circuit.lift_at_most = std::min(circuit.lift_at_most, 1.0 - 0.5 * s);
    break;
  case FaultKind::thermostat_part_open: hold_part_open(s, circuit); break;
  case FaultKind::thermostat_slow: circuit.wax_lag_factor *= 1.0 + 4.0 * s; break;
  case FaultKind::thermostat_wide_hysteresis: circuit.more_hysteresis_k += 8.0 * s; break;
  case FaultKind::thermostat_late: circuit.opens_later_k += 8.0 * s; break;
  case FaultKind::thermostat_leaking: circuit.leak_share += 0.03 * s; break;
  case FaultKind::thermostat_sticking:
    circuit.friction += 0.8 * s * (0.7 + 0.35 * trouble.size);
    break;
  default: break;
  }
}

void put_in_air_side(FaultKind kind, double s, CircuitFaults& circuit) {
  switch (kind) {
  case FaultKind::fan_dead: circuit.fan_factor *= share(1.0 - s); break;
  case FaultKind::fan_clutch_slipping: circuit.fan_factor *= left(1.5 * s); break;
  case FaultKind::fan_stuck_on: circuit.fan_always_on = true; break;
  case FaultKind::radiator_blocked_outside:
    circuit.core_air_factor *= left(0.7 * s);
    circuit.core_ua_factor *= left(0.3 * s);
    break;
  default: break;
  }
}

/// Slugs of gas: they take flow, and in half of them the sensor stands in gas.
void put_in_gas(const Trouble& trouble, double least, double most, CircuitFaults& circuit) {
  if (!trouble.burst) return;
  const double taken = least + (most - least) * trouble.size;
  circuit.gas_at_pump = 1.0 - (1.0 - circuit.gas_at_pump) * (1.0 - taken);
}

void uncover(const Trouble& trouble, SensorFaults& sensor) {
  if (!trouble.burst || trouble.kind < 0.5) return;
  sensor.uncovered_k = std::max(sensor.uncovered_k, 5.0 + 40.0 * (trouble.kind - 0.5));
}

void put_in_coolant(FaultKind kind, double s, const Trouble& trouble, CircuitFaults& circuit,
                    SensorFaults& sensor) {
  switch (kind) {
  case FaultKind::radiator_blocked_inside:
    circuit.core_flow_factor *= left(0.4 * s);
    circuit.core_ua_factor *= left(1.2 * s);
    break;
  case FaultKind::pump_slip: circuit.pump_factor *= left(1.2 * s); break;
  case FaultKind::coolant_low:
    circuit.coolant_missing = share(circuit.coolant_missing + 0.25 * s);
    put_in_gas(trouble, 0.3, 0.9, circuit);
    uncover(trouble, sensor);
    break;
  case FaultKind::air_trapped:
    circuit.coolant_missing = share(circuit.coolant_missing + 0.05 * s);
    circuit.wax_lag_factor *= 1.0 + s;
    put_in_gas(trouble, 0.2, 0.6, circuit);
    uncover(trouble, sensor);
    break;
  case FaultKind::hose_collapsed:
    circuit.hose_collapse = share(circuit.hose_collapse + 0.45 * s);
    break;
  case FaultKind::cap_not_holding:
    circuit.cap_factor *= share(1.0 - s);
    circuit.coolant_missing = share(circuit.coolant_missing + 0.1 * std::max(s - 1.0, 0.0));
    break;
  case FaultKind::combustion_gas:
    circuit.gas_heat += 0.2 * s;
    circuit.gas_at_pump = share(circuit.gas_at_pump + 0.05 * s);
    put_in_gas(trouble, 0.0, 0.4, circuit);
    break;
  default: break;
  }
}

void put_in_sensor(FaultKind kind, double s, const Trouble& trouble, SensorFaults& sensor) {
  switch (kind) {
  case FaultKind::sensor_offset: sensor.offset_k += 6.0 * s; break;
  case FaultKind::sensor_series_resistance: sensor.series_ohm += 100.0 * s; break;
  case FaultKind::sensor_leakage:
    sensor.leakage_ohm = 1.0 / (1.0 / sensor.leakage_ohm + s / 2000.0);
    break;
  case FaultKind::sensor_slow: sensor.lag_factor *= 1.0 + 4.0 * s; break;
  case FaultKind::sensor_dropouts:
    sensor.no_reading |= trouble.burst && trouble.kind < 0.5;
    sensor.open_circuit |= trouble.burst && trouble.kind >= 0.5;
    break;
  case FaultKind::sensor_frozen: sensor.frozen = true; break;
  default: break;
  }
}

} // namespace

void put_in(FaultKind kind, double severity, const Trouble& trouble, CircuitFaults& circuit,
            SensorFaults& sensor) {
  const double s = std::clamp(severity, 0.0, 2.0);
  if (s == 0.0) return;
  put_in_thermostat(kind, s, trouble, circuit);
  put_in_air_side(kind, s, circuit);
  put_in_coolant(kind, s, trouble, circuit, sensor);
  put_in_sensor(kind, s, trouble, sensor);
}

} // namespace coolband
