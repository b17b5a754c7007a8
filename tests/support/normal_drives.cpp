// SPDX-License-Identifier: Apache-2.0
// Vehicles and drives at random; the logs go the whole way through import and segmentation.
#include "support/normal_drives.hpp"

#include "circuit/circuit.hpp"
#include "circuit/sensor.hpp"
#include "coolband/condition/condition.hpp"
#include "coolband/import/import_log.hpp"
#include "support/drive_simulator.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

namespace coolband::testing {
namespace {

struct Drawn {
  Vehicle simple;
  CircuitParameters circuit;
  double sensor_lag_s = 12.0;
};

Drawn draw_parameters(Random& random) {
  Drawn drawn;
  Vehicle& v = drawn.simple;
  CircuitParameters& c = drawn.circuit;
  v.opens_c = c.opens_c = random.between(74.0, 92.0);
  v.span_c = c.span_k = random.between(8.0, 15.0);
  v.hysteresis_k = c.hysteresis_k = random.between(1.0, 5.0);
  v.wax_lag_s = c.wax_lag_s = random.between(6.0, 25.0);
  const double size = random.between(0.6, 1.6);
  v.engine_kj_per_k *= size;
  c.block_kj_per_k *= size;
  c.engine_coolant_l *= size;
  const double heat = random.between(0.7, 1.5);
  v.full_heat_kw *= heat;
  c.full_heat_kw *= heat;
  const double core = random.between(0.7, 1.5);
  v.radiator_ua_kw_per_k *= core;
  c.radiator_ua_kw_per_k *= core;
  const double flow = random.between(0.7, 1.4);
  v.coolant_kw_per_k *= flow;
  c.flow_l_per_min *= flow;
  const bool electric = random.between(0.0, 1.0) < 0.5;
  v.fan = electric ? FanKind::electric : FanKind::viscous;
  c.fan = electric ? FanDrive::electric : FanDrive::viscous;
  v.fan_on_c = c.fan_on_c = v.opens_c + 16.0;
  v.fan_off_c = c.fan_off_c = v.opens_c + 11.0;
  v.sensor_lag_s = drawn.sensor_lag_s = random.between(4.0, 15.0);
  const double heater = random.between(0.5, 2.0);
  v.heater_kw_per_k *= heater;
  c.heater_kw_per_k *= heater;
  const double surface = random.between(0.6, 1.6);
  v.block_surface = surface;
  c.surface_kw_per_k *= surface;
  return drawn;
}

DrivePlan draw_plan(Random& random) {
  constexpr std::array k_kinds{LegKind::town,  LegKind::road, LegKind::motorway, LegKind::road,
                               LegKind::climb, LegKind::idle, LegKind::descent};
  DrivePlan plan;
  plan.seed = random.below(1000000);
  plan.ambient_c = random.between(-5.0, 32.0);
  const bool cold = random.between(0.0, 1.0) < 0.7;
  plan.start_c = cold ? plan.ambient_c + 1.0 : random.between(plan.ambient_c, 85.0);
  const std::size_t legs = 3 + random.below(3);
  for (std::size_t i = 0; i < legs; ++i)
    plan.legs.push_back({k_kinds.at(random.below(k_kinds.size())), random.between(5.0, 15.0)});
  return plan;
}

/// Puts the coolant of the library's circuit in place of the simulator's, under the same driver.
void drive_circuit(DriveLog& log, const Drawn& drawn, const DrivePlan& plan) {
  Circuit circuit(drawn.circuit, plan.start_c);
  Sensor sensor;
  sensor.lag_s = drawn.sensor_lag_s;
  SensorReading reading(sensor, plan.start_c, plan.seed);
  for (std::size_t i = 0; i < log.size(); ++i) {
    Operation operation;
    operation.load = static_cast<double>(log.load_pct[i]) / 100.0;
    operation.rpm = static_cast<double>(log.rpm[i]);
    operation.speed_mps = static_cast<double>(log.speed_kmh[i]) / 3.6;
    operation.ambient_c = static_cast<double>(log.ambient_c[i]);
    operation.heater = std::clamp((18.0 - operation.ambient_c) / 13.0, 0.0, 1.0);
    for (int half = 0; half < 2; ++half) {
      circuit.step(operation, {}, 0.5);
      reading.follow(circuit.state().coolant_c, {}, 0.5);
    }
    log.coolant_c[i] = static_cast<float>(reading.shown_c({}));
  }
}

void take_out(DriveLog& log, const Columns& columns) {
  const auto empty = [](std::vector<float>& column) {
    std::fill(column.begin(), column.end(), std::nanf(""));
  };
  if (!columns.load) empty(log.load_pct);
  if (!columns.ambient) empty(log.ambient_c);
  if (columns.motion) return;
  for (auto* column : {&log.rpm, &log.speed_kmh, &log.altitude_m}) empty(*column);
}

} // namespace

NormalVehicle draw_vehicle(World world, std::size_t drives, const Columns& columns,
                           Random& random) {
  const Drawn drawn = draw_parameters(random);
  NormalVehicle vehicle;
  vehicle.opens_c = drawn.simple.opens_c;
  for (std::size_t d = 0; d < drives; ++d) {
    const DrivePlan plan = draw_plan(random);
    DriveLog log = simulate_drive(drawn.simple, plan);
    if (world == World::thermal_circuit) drive_circuit(log, drawn, plan);
    take_out(log, columns);
    const auto recording = import_text(drive_csv(log), "drive");
    if (!recording) continue;
    for (const Trip& trip : find_trips(*recording, condition(*recording)))
      vehicle.drives.push_back(circuit_drive(trip.blocks, 2400.0));
  }
  return vehicle;
}

} // namespace coolband::testing
