// SPDX-License-Identifier: Apache-2.0
// A driver on a route: habits of each kind of stretch, road load, and a gearbox.
#include "circuit/driver.hpp"

#include "circuit/kelvin.hpp"
#include "circuit/share.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

constexpr double k_stands_mps = 0.3;
constexpr double k_gravity = 9.80665;               // ISO 80000-3
constexpr double k_air_gas_kj_per_kg_k = 0.2870528; // ISO 2533, specific gas constant
constexpr double k_rotating = 1.05;                 // wheels and shafts add to the mass (judgement)
constexpr double k_driveline = 0.88;                // of the engine's work that reaches the wheels
constexpr double k_idle_share = 0.14; // of full torque, that an engine needs to turn itself
constexpr double k_highest_m = 5000.0;
constexpr double k_lowest_m = -400.0;

/// How people drive on one kind of stretch. Speeds, slopes and times are judgement; rolling
/// resistance of gravel and dry sand: Wong, Theory of Ground Vehicles (from memory).
struct Habit {
  double slow_kmh, fast_kmh;
  double down_pct, up_pct;
  double shortest_s, longest_s; ///< until the driver wants another speed
  double rolling = 1.0;         ///< times that of a hard road
  double low_range = 1.0;       ///< further reduction behind the gearbox
  double roughness = 0.02;      ///< of the load, about its mean
};

constexpr Habit habit_of(RouteKind kind) {
  switch (kind) {
  case RouteKind::town: return {30.0, 54.0, -1.5, 1.5, 25.0, 75.0};
  case RouteKind::road: return {56.0, 88.0, -2.2, 2.4, 30.0, 90.0};
  case RouteKind::highway: return {98.0, 114.0, -1.3, 1.5, 60.0, 150.0};
  case RouteKind::climb: return {42.0, 60.0, 7.0, 11.0, 40.0, 90.0};
  case RouteKind::descent: return {36.0, 55.0, -8.0, -5.0, 40.0, 90.0};
  case RouteKind::track: return {14.0, 38.0, -6.0, 6.0, 10.0, 40.0, 2.5, 1.0, 0.06};
  case RouteKind::sand: return {12.0, 28.0, -3.0, 3.0, 15.0, 45.0, 14.0, 2.2, 0.05};
  case RouteKind::idle:
  case RouteKind::stop: break;
  }
  return {0.0, 0.0, 0.0, 0.0, 30.0, 30.0};
}

/// Engine speed per road speed in each gear, times that of the top gear.
constexpr std::array<double, 5> k_gears{4.6, 2.6, 1.65, 1.22, 1.0};

} // namespace

Driver::Driver(const Scenario& scenario) : scenario_(scenario), random_(scenario.seed) {
  motion_.altitude_m = scenario.start_altitude_m;
}

void Driver::begin(const RoutePhase& phase) {
  phase_ = &phase;
  mass_kg_ = scenario_.body.mass_kg + phase.trailer_kg;
  intent_.seconds = 0.0;
}

double Driver::between(double low, double high) { return low + (high - low) * random_.share(); }

void Driver::decide() {
  const Habit habit = habit_of(phase_->kind);
  const bool stands = phase_->kind == RouteKind::idle || phase_->kind == RouteKind::stop;
  if (stands || (phase_->kind == RouteKind::town && intent_.speed_mps > 0.0)) {
    intent_ = {0.0, phase_->grade_pct.value_or(0.0) / 100.0, between(8.0, 32.0)};
    return;
  }
  intent_.seconds = between(habit.shortest_s, habit.longest_s);
  const double speed_kmh = phase_->speed_kmh ? *phase_->speed_kmh * between(0.92, 1.08)
                                             : between(habit.slow_kmh, habit.fast_kmh);
  intent_.speed_mps = speed_kmh / 3.6;
  const double drawn_pct = between(habit.down_pct, habit.up_pct);
  intent_.grade = phase_->grade_pct.value_or(drawn_pct) / 100.0;
}

const Motion& Driver::step(double engine_c, const Air& air) {
  intent_.seconds -= k_simulation_step_s;
  if (intent_.seconds <= 0.0) decide();
  climb_or_fall();
  drive(air);
  motion_.running = phase_->kind != RouteKind::stop || motion_.speed_mps > 0.0;
  if (!motion_.running) {
    motion_.rpm = 0.0;
    motion_.load = 0.0;
    return motion_;
  }
  // A cold engine idles faster (common practice, no source).
  const double idle_rpm = scenario_.circuit.idle_rpm + 220.0 * share((60.0 - engine_c) / 60.0);
  motion_.rpm = std::max(rpm_in(gear_), idle_rpm);
  return motion_;
}

void Driver::climb_or_fall() {
  const bool too_high = motion_.altitude_m > k_highest_m && intent_.grade > 0.0;
  const bool too_low = motion_.altitude_m < k_lowest_m && intent_.grade < 0.0;
  const double grade = too_high || too_low ? 0.0 : intent_.grade;
  motion_.grade += (grade - motion_.grade) * k_simulation_step_s / 8.0;
  motion_.altitude_m += motion_.speed_mps * motion_.grade * k_simulation_step_s;
}

double Driver::rpm_in(std::size_t gear) const {
  return k_gears[gear] * scenario_.body.top_gear_rpm_per_kmh * habit_of(phase_->kind).low_range *
         3.6 * motion_.speed_mps;
}

double Driver::full_power_kw(double rpm) const {
  // The usual shape of a full-load curve: torque is greatest at two thirds of the rated speed.
  const double n = std::min(rpm / scenario_.circuit.rated_rpm, 1.0);
  return scenario_.body.rated_power_kw * n * (0.6 + 1.6 * n - 1.2 * n * n);
}

double Driver::accessories_kw(double ambient_c) const {
  const auto& wanted = scenario_.comfort.air_conditioning;
  const double cooling = wanted ? (*wanted ? 1.0 : 0.0) : share((ambient_c - 24.0) / 4.0);
  return 2.0 + 2.6 * cooling; // alternator and steering; compressor (judgement)
}

double Driver::resistance_kn(const Air& air) const {
  if (motion_.speed_mps < 0.1) return 0.0; // the brake holds
  const double density =
      air.pressure_kpa / (k_air_gas_kj_per_kg_k * (air.temperature_c + k_celsius_zero_k));
  const double rush = motion_.speed_mps + scenario_.weather.headwind_kmh / 3.6;
  const double rolling = scenario_.body.rolling * habit_of(phase_->kind).rolling;
  return (mass_kg_ * k_gravity * (rolling + motion_.grade) +
          0.5 * density * scenario_.body.drag_area_m2 * rush * std::abs(rush)) /
         1000.0;
}

/// The highest gear that turns fast enough and has power to spare; kept for at least 3 s.
void Driver::shift(double power_kw) {
  gear_held_s_ += k_simulation_step_s;
  if (gear_held_s_ < 3.0) return;
  const double least_rpm =
      scenario_.circuit.rated_rpm * (0.36 + 0.3 * share(power_kw / scenario_.body.rated_power_kw));
  std::size_t gear = k_gears.size() - 1;
  const auto weak = [&] {
    return rpm_in(gear) < least_rpm || full_power_kw(rpm_in(gear)) < 1.1 * power_kw;
  };
  const auto next_too_fast = [&] { return rpm_in(gear - 1) > scenario_.circuit.rated_rpm; };
  while (gear > 0 && weak() && !next_too_fast()) --gear;
  if (gear != gear_) gear_held_s_ = 0.0;
  gear_ = gear;
}

void Driver::drive(const Air& air) {
  const double v = motion_.speed_mps;
  const double resistance = resistance_kn(air);
  const double own_kw = accessories_kw(air.temperature_c);
  const double inert_t = mass_kg_ * k_rotating / 1000.0;
  double pull = std::clamp((intent_.speed_mps - v) / 4.0, -1.8, 1.2);
  const auto demand_kw = [&] {
    const double wheels_kw = (resistance + inert_t * pull) * v;
    return (wheels_kw > 0.0 ? wheels_kw / k_driveline : wheels_kw) + own_kw;
  };
  shift(demand_kw());
  const double full_kw = full_power_kw(std::max(rpm_in(gear_), scenario_.circuit.idle_rpm));
  if (demand_kw() > full_kw && v > 1.0)
    pull = ((full_kw - own_kw) * k_driveline / v - resistance) / inert_t;
  const double roughness = habit_of(phase_->kind).roughness;
  wander_ += 0.5 * (between(-2.0 * roughness, 2.0 * roughness) - wander_);
  // Even with no work to do an engine burns to turn itself, except on the overrun.
  const double effort = share(demand_kw() / full_kw);
  motion_.load =
      demand_kw() < 0.0 ? 0.0 : share(k_idle_share + (1.0 - k_idle_share) * effort + wander_);
  motion_.speed_mps = std::max(0.0, v + pull * k_simulation_step_s);
  // Easing off alone would never come to a stand.
  if (intent_.speed_mps == 0.0 && motion_.speed_mps < k_stands_mps) motion_.speed_mps = 0.0;
}

} // namespace coolband
