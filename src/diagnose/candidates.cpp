// SPDX-License-Identifier: Apache-2.0
// Ranges of severity: from what a driver would hardly notice to total failure (judgement). A part
// that has several ways to fail shares its prior probability among them.
#include "diagnose/candidates.hpp"

#include "core/portable_math.hpp"

#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

double between(double mild, double worst, double severity) {
  return mild + (worst - mild) * severity;
}

// One value both for the physics and for the words.
double held_open(double s) { return between(0.08, 1.0, s); }
double leak(double s) { return between(0.01, 0.12, s); }
double held_shut(double s) { return between(0.5, 0.0, s); }
double later_k(double s) { return between(4.0, 25.0, s); }
double a_little_later_k(double s) { return 0.6 * later_k(s); }
double play_k(double s) { return between(3.0, 18.0, s); }
double slower(double s) { return between(2.0, 12.0, s); }
double friction(double s) { return between(0.2, 1.0, s); }
double stands_at(double s) { return between(0.15, 0.6, s); }
double hardly_shut(double s) { return between(0.08, 0.4, s); }
double hardly_open(double s) { return between(0.9, 0.45, s); }
double half_shut(double s) { return between(0.8, 0.1, s); }
double fan_left(double s) { return between(0.6, 0.0, s); }
double idle_air_left(double s) { return between(0.8, 0.2, s); }
double air_left(double s) { return between(0.75, 0.15, s); }
double core_left(double s) { return between(0.8, 0.12, s); }
double flow_left(double s) { return between(0.7, 0.05, s); }
/// Combustion gas carries heat of the load straight into the coolant and takes room in it.
double more_heat(double s) { return between(1.1, 1.5, s); }
double gassed_flow(double s) { return between(0.95, 0.7, s); }
double too_high_k(double s) { return between(3.0, 20.0, s); }
double too_low_k(double s) { return between(-3.0, -20.0, s); }
double series_ohm(double s) { return between(20.0, 220.0, s); }
double beside_ohm(double s) { return 1.0 / between(1.0 / 6000.0, 1.0 / 600.0, s); }
/// From scale on it to one that hangs in a pocket of gas, or was pushed in beside its seat.
double sensor_slower(double s) { return 2.0 * portable_pow(25.0, s); }

ReducedFault stuck_open(double s) { return {.lift_at_least = held_open(s)}; }
ReducedFault leaking(double s) { return {.leak = leak(s)}; }
ReducedFault stuck_shut(double s) { return {.lift_at_most = held_shut(s)}; }
ReducedFault opens_early(double s) { return {.opens_later_k = -later_k(s)}; }
ReducedFault opens_later(double s) { return {.opens_later_k = later_k(s)}; }
ReducedFault shut_and_later(double s) {
  return {.lift_at_most = held_shut(s), .opens_later_k = a_little_later_k(s)};
}
ReducedFault late_and_half_shut(double s) {
  return {.lift_at_most = half_shut(s), .opens_later_k = later_k(s)};
}
ReducedFault closes_late(double s) { return {.more_hysteresis_k = play_k(s)}; }
ReducedFault slow_wax(double s) { return {.wax_lag_factor = slower(s)}; }
ReducedFault sticks(double s) { return {.friction = friction(s)}; }
ReducedFault stands_still(double s) {
  return {.lift_at_least = stands_at(s), .lift_at_most = stands_at(s)};
}
ReducedFault moves_little(double s) {
  return {.lift_at_least = hardly_shut(s), .lift_at_most = hardly_open(s)};
}
ReducedFault no_fan(double s) { return {.fan = fan_left(s)}; }
/// A fan on the engine's shaft draws air even let go: a part of what passes at a standstill.
ReducedFault no_drag(double s) { return {.still_air = idle_air_left(s), .fan = fan_left(s)}; }
ReducedFault blocked_outside(double s) {
  return {.still_air = air_left(s), .fan = air_left(s), .ram_air = air_left(s)};
}
ReducedFault blocked_inside(double s) {
  const double left = core_left(s);
  // The pump presses harder against what is left.
  return {.still_air = left, .fan = left, .ram_air = left, .flow = std::sqrt(left)};
}
/// A viscous fan takes hold by the air behind the core, which such a core does not warm.
ReducedFault blocked_and_no_fan(double s) {
  ReducedFault fault = blocked_inside(s);
  fault.fan = 0.0;
  return fault;
}
/// Slower coolant also gives its heat to the tubes less well: a quarter of the core's resistance,
/// by the flow to the power 0.8 (Dittus and Boelter, from memory; the share is judgement).
double surface_left(double flow) { return 1.0 / (0.75 + 0.25 * portable_pow(flow, -0.8)); }
ReducedFault weak_pump(double s) {
  const double surface = surface_left(flow_left(s));
  return {.still_air = surface, .fan = surface, .ram_air = surface, .flow = flow_left(s)};
}
ReducedFault gas_from_the_cylinders(double s) {
  return {.flow = gassed_flow(s), .load_heat = more_heat(s)};
}
ReducedFault reads_high(double s) { return {.offset_k = too_high_k(s)}; }
ReducedFault reads_low(double s) { return {.offset_k = too_low_k(s)}; }
ReducedFault in_series(double s) { return {.series_ohm = series_ohm(s)}; }
ReducedFault beside(double s) { return {.leakage_per_ohm = 1.0 / beside_ohm(s)}; }
ReducedFault slow_sensor(double s) { return {.sensor_lag_factor = sensor_slower(s)}; }

std::string percent(const char* text, double part) {
  return fmt::format(fmt::runtime(text), 100.0 * part);
}

constexpr int k_spells = 7;
/// The whole stroke of a valve, the other candidates' a half of it at most.
constexpr int k_fine_spells = 14;

/// Wax that has let go opens a valve too late, or not at all; one that opens too early is of the
/// wrong rating, and that is as it was when the vehicle's normal was learned (judgement).
constexpr double k_seldom = 0.2;
/// Two lines across the same plane of what a valve may do.
constexpr double k_shared = 0.5;

constexpr Candidate k_candidates[] = {
    {Condition::thermostat_stuck_open, stuck_open,
     [](double s) {
       return percent("the valve does not shut below {:.0f} % of its stroke", held_open(s));
     },
     k_fine_spells},
    {Condition::thermostat_stuck_open, leaking,
     [](double s) { return percent("{:.1f} % of the flow passes the shut valve", leak(s)); }, 0},
    {Condition::thermostat_stuck_open, opens_early,
     [](double s) { return fmt::format("the valve opens {:.0f} K too early", later_k(s)); }, 0,
     false, true, k_seldom},
    {Condition::thermostat_stuck_closed, stuck_shut,
     [](double s) {
       return percent("the valve does not open beyond {:.0f} % of its stroke", held_shut(s));
     },
     k_spells},
    {Condition::thermostat_stuck_closed, opens_later,
     [](double s) { return fmt::format("the valve opens {:.0f} K too late", later_k(s)); },
     k_spells, false, true},
    {Condition::thermostat_stuck_closed, shut_and_later,
     [](double s) {
       return fmt::format("the valve opens {:.0f} K too late, and not beyond {:.0f} %",
                          a_little_later_k(s), 100.0 * held_shut(s));
     },
     k_spells, false, false, k_shared},
    {Condition::thermostat_stuck_closed, late_and_half_shut,
     [](double s) {
       return fmt::format("the valve opens {:.0f} K too late, and not beyond {:.0f} %", later_k(s),
                          100.0 * half_shut(s));
     },
     0, false, false, k_shared},
    {Condition::thermostat_sticking, closes_late,
     [](double s) { return fmt::format("the valve shuts {:.0f} K too late", play_k(s)); }, 0},
    {Condition::thermostat_sticking, slow_wax,
     [](double s) {
       return fmt::format("the valve follows the coolant {:.1f} times too slowly", slower(s));
     },
     0},
    {Condition::thermostat_sticking, sticks,
     [](double s) {
       return percent("the valve holds for {:.0f} % of its stroke before it slips", friction(s));
     },
     0},
    {Condition::thermostat_sticking, stands_still,
     [](double s) {
       return percent("the valve stands at {:.0f} % of its stroke and moves neither way",
                      stands_at(s));
     },
     k_spells, false, false, k_shared},
    {Condition::thermostat_sticking, moves_little,
     [](double s) {
       return fmt::format("the valve moves between {:.0f} and {:.0f} % of its stroke only",
                          100.0 * hardly_shut(s), 100.0 * hardly_open(s));
     },
     0, false, false, k_shared},
    {Condition::fan_not_cooling, no_fan,
     [](double s) { return percent("{:.0f} % of the fan's cooling is left", fan_left(s)); },
     k_spells},
    {Condition::fan_not_cooling, no_drag,
     [](double s) {
       return fmt::format("{:.0f} % of the fan's cooling and {:.0f} % of the air at a standstill "
                          "are left",
                          100.0 * fan_left(s), 100.0 * idle_air_left(s));
     },
     k_spells},
    {Condition::radiator_restricted, blocked_outside,
     [](double s) { return percent("{:.0f} % of the air's cooling is left", air_left(s)); }, 0},
    {Condition::radiator_restricted, blocked_inside,
     [](double s) { return percent("{:.0f} % of the radiator's surface is left", core_left(s)); },
     0},
    {Condition::radiator_restricted, blocked_and_no_fan,
     [](double s) {
       return percent("{:.0f} % of the radiator's surface is left, and its air is too cool for the "
                      "fan to take hold",
                      core_left(s));
     },
     0},
    {Condition::coolant_flow_low, weak_pump,
     [](double s) { return percent("{:.0f} % of the coolant's flow is left", flow_left(s)); },
     k_spells},
    {Condition::air_or_low_coolant, gas_from_the_cylinders,
     [](double s) {
       return fmt::format("gas from the cylinders brings {:.0f} % more heat at load and leaves "
                          "{:.0f} % of the flow",
                          100.0 * (more_heat(s) - 1.0), 100.0 * gassed_flow(s));
     },
     0},
    {Condition::sensor_fault, reads_high,
     [](double s) { return fmt::format("the sensor reads {:.0f} K too high", too_high_k(s)); },
     k_spells},
    {Condition::sensor_fault, reads_low,
     [](double s) { return fmt::format("the sensor reads {:.0f} K too low", -too_low_k(s)); },
     k_spells},
    {Condition::sensor_fault, in_series,
     [](double s) {
       return fmt::format("{:.0f} ohm too many in the sensor's lead", series_ohm(s));
     },
     k_spells},
    {Condition::sensor_fault, beside,
     [](double s) { return fmt::format("a leak of {:.0f} ohm beside the sensor", beside_ohm(s)); },
     k_spells},
    {Condition::sensor_fault, slow_sensor,
     [](double s) {
       return fmt::format("the sensor follows {:.1f} times too slowly", sensor_slower(s));
     },
     0, true},
};

} // namespace

std::span<const Candidate> candidates() { return k_candidates; }

bool Candidate::passes_shut() const {
  const ReducedFault worst = fault(1.0);
  return worst.lift_at_least > 0.0 || worst.leak > 0.0;
}

} // namespace coolband
