// SPDX-License-Identifier: Apache-2.0
// What can be wrong with a cooling system, how badly and when; and what that does to circuit and
// sensor from moment to moment.
#pragma once

#include "circuit/circuit.hpp"
#include "circuit/trouble.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string_view>
#include <vector>

namespace coolband {

enum class FaultKind : std::uint8_t {
  thermostat_stuck_open,
  thermostat_stuck_closed,
  thermostat_part_open, ///< stays at one lift, neither closing nor opening further
  thermostat_slow,
  thermostat_wide_hysteresis,
  thermostat_late,
  thermostat_leaking,
  thermostat_sticking, ///< friction: holds, then slips
  fan_dead,
  fan_clutch_slipping,
  fan_stuck_on,
  radiator_blocked_outside,
  radiator_blocked_inside,
  pump_slip,
  coolant_low,
  air_trapped,
  hose_collapsed,
  cap_not_holding,
  combustion_gas,
  sensor_offset,
  sensor_series_resistance,
  sensor_leakage, ///< parallel resistance
  sensor_slow,
  sensor_dropouts,
  sensor_frozen,
};
inline constexpr std::size_t k_fault_kinds = 25;
/// All of them, in the order above.
std::array<FaultKind, k_fault_kinds> all_fault_kinds();

/// "thermostat-stuck-open", ... as scenario files name them.
std::string_view name_of(FaultKind kind);
std::optional<FaultKind> fault_named(std::string_view name);

/// Severity 1 is the fault as a workshop usually meets it, 0 is none; up to 2. What each severity
/// stands for in physical terms is said in fault.cpp and docs/methods.md.
struct FaultPlan {
  FaultKind kind = FaultKind::thermostat_stuck_open;
  double severity = 1.0;
  double from_s = 0.0;
  double to_s = std::numeric_limits<double>::infinity();
  std::optional<Spells> spells = std::nullopt;
};

/// What faults do to the sensor at one moment. The default is a sound one.
struct SensorFaults {
  double offset_k = 0.0;
  double series_ohm = 0.0;
  double leakage_ohm = std::numeric_limits<double>::infinity();
  double lag_factor = 1.0;
  bool no_reading = false;   ///< the cell is empty
  bool open_circuit = false; ///< reads -40 °C
  double uncovered_k = 0.0;  ///< gas about the sensor: reads so much too low
  bool frozen = false;
};

/// Puts into `circuit` and `sensor` what the fault does at this severity (clamped to 0..2), on top
/// of what is there. `trouble` is what comes and goes by itself: gas in slugs, contacts, friction.
void put_in(FaultKind kind, double severity, const Trouble& trouble, CircuitFaults& circuit,
            SensorFaults& sensor);

/// The faults of one drive as time goes on. The same plans and seed give the same course, however
/// long the steps are.
class FaultCourse {
 public:
  FaultCourse(const std::vector<FaultPlan>& plans, std::uint64_t seed);

  /// Goes to `time_s`, not earlier than before.
  void go_to(double time_s) {
    if (time_s >= next_change_s_) change(time_s);
  }
  [[nodiscard]] const CircuitFaults& circuit() const { return circuit_; }
  [[nodiscard]] const SensorFaults& sensor() const { return sensor_; }
  /// Any fault is at work now; a loose contact only while it fails.
  [[nodiscard]] bool active() const { return active_; }

 private:
  struct Running {
    FaultPlan plan;
    SpellClock spells;
    TroubleClock trouble;
  };
  void change(double time_s);

  std::vector<Running> running_;
  CircuitFaults circuit_;
  SensorFaults sensor_;
  bool active_ = false;
  double next_change_s_ = -std::numeric_limits<double>::infinity();
};

} // namespace coolband
