// SPDX-License-Identifier: Apache-2.0
// The driver, the engine's heat, the thermostat, the radiator and the sensor, stepped by 0.5 s.
#include "support/drive_simulator.hpp"

#include "support/random.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <limits>

namespace coolband::testing {
namespace {

constexpr double k_step_s = 0.5;
constexpr double k_gravity = 9.81;
constexpr double k_air_kg_per_m3 = 1.18;
constexpr double k_air_kj_per_m3k = 1.19;

double share(double value) { return std::clamp(value, 0.0, 1.0); }

// ---- driver and road ----

/// What the driver does next, and for how long.
struct Intent {
  double speed_mps = 0.0;
  double grade = 0.0;
  double seconds = 0.0;
};

Intent next_intent(LegKind kind, bool was_moving, Random& random) {
  const auto kmh = [&](double low, double high) { return random.between(low, high) / 3.6; };
  switch (kind) {
  case LegKind::idle: return {0.0, 0.0, 30.0};
  case LegKind::town:
    if (was_moving) return {0.0, 0.0, random.between(8.0, 30.0)};
    return {kmh(28.0, 55.0), random.between(-0.015, 0.015), random.between(25.0, 80.0)};
  case LegKind::road:
    return {kmh(55.0, 88.0), random.between(-0.02, 0.025), random.between(30.0, 90.0)};
  case LegKind::motorway:
    return {kmh(98.0, 114.0), random.between(-0.012, 0.015), random.between(60.0, 150.0)};
  case LegKind::climb:
    return {kmh(42.0, 60.0), random.between(0.08, 0.12), random.between(40.0, 90.0)};
  case LegKind::descent:
    return {kmh(35.0, 55.0), random.between(-0.08, -0.05), random.between(40.0, 90.0)};
  }
  return {};
}

struct Motion {
  double speed_mps = 0.0;
  double grade = 0.0;
  double altitude_m = 0.0;
  double rpm = 0.0;
  double load = 0.0; ///< 0..1, of the torque available at this engine speed
};

class Driver {
 public:
  Driver(const Vehicle& vehicle, const DrivePlan& plan)
      : vehicle_(vehicle), mass_kg_(vehicle.mass_kg + plan.extra_mass_kg), random_(plan.seed) {
    motion_.altitude_m = plan.altitude_m;
  }

  const Motion& step(LegKind kind, double engine_c, double ambient_c) {
    intent_.seconds -= k_step_s;
    if (intent_.seconds <= 0.0 || kind != kind_) {
      intent_ = next_intent(kind, intent_.speed_mps > 0.0, random_);
      kind_ = kind;
    }
    motion_.grade += (intent_.grade - motion_.grade) * k_step_s / 8.0;
    move(ambient_c);
    motion_.altitude_m += motion_.speed_mps * motion_.grade * k_step_s;
    // A cold engine idles faster.
    const double idle_rpm = vehicle_.idle_rpm + 220.0 * share((60.0 - engine_c) / 60.0);
    motion_.rpm = std::max(geared_rpm(), idle_rpm);
    return motion_;
  }

 private:
  [[nodiscard]] double geared_rpm() const { return k_gears[gear_] * motion_.speed_mps * 3.6; }

  [[nodiscard]] double full_power_kw(double rpm) const {
    const double n = std::min(rpm / vehicle_.rated_rpm, 1.0);
    return vehicle_.rated_power_kw * n * (1.9 - 0.9 * n);
  }

  void shift(double power_kw) {
    gear_held_s_ += k_step_s;
    if (gear_held_s_ < 3.0) return;
    const double wanted_rpm = 1350.0 + 1400.0 * share(power_kw / vehicle_.rated_power_kw);
    std::size_t gear = k_gears.size() - 1;
    while (gear > 0 && k_gears[gear] * motion_.speed_mps * 3.6 < wanted_rpm) --gear;
    if (gear != gear_) gear_held_s_ = 0.0;
    gear_ = gear;
  }

  void move(double ambient_c) {
    constexpr double k_driveline = 0.88;
    const double v = motion_.speed_mps;
    const double resistance_kn =
        (mass_kg_ * k_gravity * ((v > 0.1 ? 0.016 : 0.0) + motion_.grade * (v > 0.1 ? 1.0 : 0.0)) +
         0.5 * k_air_kg_per_m3 * vehicle_.drag_area_m2 * v * v) /
        1000.0;
    // Air conditioning from 24 °C on.
    const double accessories_kw = 2.0 + 2.6 * share((ambient_c - 24.0) / 4.0);
    double pull = std::clamp((intent_.speed_mps - v) / 4.0, -1.8, 1.2);
    const auto demand_kw = [&] {
      const double wheels_kw = (resistance_kn + mass_kg_ * pull / 1000.0) * v;
      return (wheels_kw > 0.0 ? wheels_kw / k_driveline : wheels_kw) + accessories_kw;
    };
    shift(demand_kw());
    const double full_kw = full_power_kw(std::max(geared_rpm(), vehicle_.idle_rpm));
    if (demand_kw() > full_kw && v > 1.0) {
      pull = ((full_kw - accessories_kw) * k_driveline / v - resistance_kn) * 1000.0 / mass_kg_;
    }
    const double effort = share(demand_kw() / full_kw);
    const double wander = random_.between(-0.02, 0.02);
    // Even with no work to do an engine burns to turn itself, except on the overrun.
    motion_.load = demand_kw() < 0.0 ? 0.0 : share(0.14 + 0.86 * effort + wander);
    motion_.speed_mps = std::max(0.0, v + pull * k_step_s);
  }

  static constexpr std::array<double, 5> k_gears{110.0, 60.0, 38.0, 28.0, 22.0}; ///< rpm per km/h
  const Vehicle& vehicle_;
  double mass_kg_;
  Random random_;
  Motion motion_;
  Intent intent_;
  LegKind kind_ = LegKind::idle;
  std::size_t gear_ = 0;
  double gear_held_s_ = 0.0;
};

/// Heat from gas and friction into the engine's metal and coolant, kW. A cold engine rubs more
/// and takes more heat from the gas.
double engine_heat_kw(const Vehicle& vehicle, const Motion& motion, double engine_c) {
  const double n = motion.rpm / vehicle.rated_rpm;
  const double cold = 1.0 + 0.4 * share((80.0 - engine_c) / 80.0);
  return vehicle.full_heat_kw * n * (0.12 + 0.88 * motion.load) * cold;
}

// ---- faults ----

/// Bursts of trouble with quiet times between them.
class Bursts {
 public:
  explicit Bursts(std::uint64_t seed) : random_(seed) {}

  /// Whether a burst is on; `scale` > 1 makes quiet times shorter.
  bool step(double scale, double shortest_s, double longest_s) {
    left_s_ -= k_step_s;
    if (left_s_ > 0.0) return on_;
    on_ = !on_ && started_;
    started_ = true;
    left_s_ = on_ ? random_.between(shortest_s, longest_s) : random_.between(25.0, 130.0) / scale;
    if (on_) kind = random_.between(0.0, 1.0);
    if (on_) size = random_.between(0.0, 1.0);
    return on_;
  }

  double kind = 0.0; ///< 0..1, drawn for each burst
  double size = 0.0; ///< 0..1, likewise

 private:
  Random random_;
  bool on_ = false;
  bool started_ = false;
  double left_s_ = 0.0;
};

/// The severity of `fault` at this moment; 0 when it is not at work.
double at_work(const FaultPlan& plan, Fault fault, double time_s) {
  const bool on = plan.fault == fault && time_s >= plan.from_s && time_s < plan.to_s;
  return on ? std::max(plan.severity, 0.0) : 0.0;
}

// ---- thermostat ----

class Thermostat {
 public:
  Thermostat(const Vehicle& vehicle, const DrivePlan& plan)
      : vehicle_(vehicle), random_(plan.seed ^ 0x51ULL), wax_c_(plan.start_c) {}

  double step(double coolant_c, const FaultPlan& fault, double time_s) {
    wax_c_ += (coolant_c - wax_c_) * k_step_s / vehicle_.wax_lag_s;
    const double shut = at_work(fault, Fault::stuck_closed, time_s);
    const double push = (wax_c_ - vehicle_.opens_c - 10.0 * shut) / vehicle_.span_c;
    if (const double grip = at_work(fault, Fault::sticking, time_s); grip > 0.0) {
      stick(push, grip);
      return lift_;
    }
    const double closing = share(push + vehicle_.hysteresis_k / vehicle_.span_c);
    lift_ = std::max(share(push), std::min(lift_, closing));
    lift_ = std::min(lift_, share(1.0 / (1.0 + 0.7 * shut)));
    return std::max(lift_, share(0.45 * at_work(fault, Fault::stuck_open, time_s)));
  }

 private:
  /// Friction holds until wax (pushing) or spring (pulling) outweighs it, then the valve slips
  /// part of the way. The spring pulls on below the opening temperature, hence a push below 0.
  void stick(double push, double grip) {
    if (std::abs(push - lift_) < hold_ * grip) return;
    const double part = random_.between(0.45, 0.75);
    lift_ = share(push > lift_ ? lift_ + part * (push - lift_) : 0.3 * part * lift_);
    hold_ = random_.between(0.7, 1.05);
  }

  const Vehicle& vehicle_;
  Random random_;
  double wax_c_;
  double lift_ = 0.0;
  double hold_ = 0.9;
};

/// Share of the coolant that goes through the radiator. At half lift the bypass is still nine
/// times as easy a way; shut, a vent hole leaks half a per cent.
double radiator_share(double lift) {
  const double open = lift * lift;
  const double bypass = 9.0 * (1.0 - lift) * (1.0 - lift);
  return 0.005 + 0.995 * open / (open + bypass);
}

// ---- radiator and fan ----

class Fan {
 public:
  explicit Fan(const Vehicle& vehicle) : vehicle_(vehicle) {}

  /// Air speed through the core that the fan draws, m/s.
  double step(double engine_c, double air_behind_c, double rpm) {
    if (vehicle_.fan == FanKind::electric) {
      if (engine_c > vehicle_.fan_on_c) grip_ = 1.0;
      if (engine_c < vehicle_.fan_off_c) grip_ = 0.0;
      return grip_ * vehicle_.fan_air_mps;
    }
    // A viscous clutch grips by the warmth of the air behind the core, with the lag of its oil.
    grip_ += (share((air_behind_c - 52.0) / 18.0) - grip_) * k_step_s / 30.0;
    return vehicle_.fan_air_mps * std::min(rpm / 2400.0, 1.2) * (0.2 + 0.8 * grip_);
  }

 private:
  const Vehicle& vehicle_;
  double grip_ = 0.0;
};

/// What carries heat through the radiator at this moment.
struct Radiator {
  double coolant_kw_per_k = 0.0;
  double air_kw_per_k = 0.0;
  double ua_kw_per_k = 0.0;
};

/// Conductance from a stirred radiator to the air, such that its steady state carries what the
/// effectiveness formula says. With hardly any flow that would grow without bound: the cap keeps
/// the explicit step stable, and changes little, as the outlet is near the air's temperature then.
double lumped_conductance(const Radiator& radiator) {
  const double smaller = std::min(radiator.coolant_kw_per_k, radiator.air_kw_per_k);
  const double larger = std::max(radiator.coolant_kw_per_k, radiator.air_kw_per_k);
  const double carried =
      smaller * crossflow_effectiveness(radiator.ua_kw_per_k / smaller, smaller / larger);
  const double left = std::max(1.0 - carried / radiator.coolant_kw_per_k, 1e-3);
  return std::min(carried / left, 3.0 * radiator.ua_kw_per_k);
}

class Cooling {
 public:
  Cooling(const Vehicle& vehicle, const DrivePlan& plan)
      : vehicle_(vehicle), thermostat_(vehicle, plan), fan_(vehicle), gas_(plan.seed ^ 0x6A5ULL),
        engine_c_(plan.start_c), radiator_c_(plan.start_c), air_behind_c_(plan.ambient_c) {}

  void step(const Motion& motion, double ambient_c, const FaultPlan& fault, double time_s) {
    const double low = at_work(fault, Fault::low_coolant, time_s);
    uncovered_ = low > 0.0 && gas_.step(low, 10.0, 45.0);
    lift_ = thermostat_.step(engine_c_, fault, time_s);
    const Radiator radiator = conditions(motion, fault, time_s);
    // At walking pace the radiator draws some of its own warm air back in.
    const double air_c = ambient_c + 4.0 * share(1.0 - motion.speed_mps / 6.0);
    const double conductance = lumped_conductance(radiator);
    const double heat_kw = engine_heat_kw(vehicle_, motion, engine_c_);
    const double radiator_kw = radiator.coolant_kw_per_k * (engine_c_ - radiator_c_);
    const double air_kw = conductance * (radiator_c_ - air_c);
    const double block_kw =
        vehicle_.block_surface * (0.014 + 0.0008 * motion.speed_mps) * (engine_c_ - ambient_c);
    const double heater_on = share((18.0 - ambient_c) / 13.0);
    const double cabin_kw =
        heater_on * vehicle_.heater_kw_per_k * std::max(engine_c_ - ambient_c, 0.0);
    air_behind_c_ = air_c + air_kw / radiator.air_kw_per_k;
    advance(heat_kw - radiator_kw - block_kw - cabin_kw, radiator_kw - air_kw);
    ledger.from_engine += heat_kw * k_step_s;
    ledger.to_radiator_air += air_kw * k_step_s;
    ledger.to_surroundings += block_kw * k_step_s;
    ledger.to_cabin += cabin_kw * k_step_s;
  }

  [[nodiscard]] double engine_c() const { return engine_c_; }
  [[nodiscard]] double lift() const { return lift_; }
  /// Gas conducts worse than coolant: an uncovered sensor reads low.
  [[nodiscard]] double at_sensor_c() const {
    return uncovered_ ? engine_c_ - 10.0 - 15.0 * gas_.size : engine_c_;
  }

  HeatLedger ledger;

 private:
  Radiator conditions(const Motion& motion, const FaultPlan& fault, double time_s) {
    const double blocked = std::min(at_work(fault, Fault::radiator_blocked, time_s), 1.5);
    const double weak = std::min(at_work(fault, Fault::pump_weak, time_s), 1.5);
    const bool dead = at_work(fault, Fault::fan_dead, time_s) > 0.0;
    const double drawn_mps = dead ? 0.0 : fan_.step(engine_c_, air_behind_c_, motion.rpm);
    const double ram_mps = 0.2 * motion.speed_mps;
    const double air_mps =
        (0.12 + std::sqrt(ram_mps * ram_mps + drawn_mps * drawn_mps)) * (1.0 - 0.4 * blocked);
    const double flow = (1.0 - 0.65 * weak) * (uncovered_ ? 0.2 : 1.0);
    Radiator radiator;
    radiator.coolant_kw_per_k =
        vehicle_.coolant_kw_per_k * motion.rpm / vehicle_.rated_rpm * flow * radiator_share(lift_);
    radiator.air_kw_per_k = vehicle_.radiator_area_m2 * air_mps * k_air_kj_per_m3k;
    // About air flow to the power 0.75, written with square roots, which round alike everywhere.
    const double root = std::sqrt(air_mps / 4.0);
    radiator.ua_kw_per_k =
        vehicle_.radiator_ua_kw_per_k * root * std::sqrt(root) * (1.0 - 0.6 * blocked);
    return radiator;
  }

  void advance(double engine_kw, double radiator_kw) {
    engine_c_ += engine_kw * k_step_s / vehicle_.engine_kj_per_k;
    radiator_c_ += radiator_kw * k_step_s / vehicle_.radiator_kj_per_k;
    ledger.stored += (engine_kw + radiator_kw) * k_step_s;
    const double vented = std::max(engine_c_ - vehicle_.boils_c, 0.0) * vehicle_.engine_kj_per_k;
    engine_c_ = std::min(engine_c_, vehicle_.boils_c);
    ledger.vented += vented;
    ledger.stored -= vented;
  }

  const Vehicle& vehicle_;
  Thermostat thermostat_;
  Fan fan_;
  Bursts gas_;
  double engine_c_;
  double radiator_c_;
  double air_behind_c_;
  double lift_ = 0.0;
  bool uncovered_ = false;
};

// ---- sensor ----

/// What a thermistor reads with `ohm` more in its lead. Steinhart-Hart coefficients fitted to a
/// resistance table of a usual coolant sensor (common practice, no source).
double reading_with_series_resistance(double true_c, double ohm) {
  constexpr double a = 1.33596535e-3;
  constexpr double b = 2.55994278e-4;
  constexpr double c = 1.50659264e-7;
  const double inverse_k = 1.0 / (true_c + 273.15);
  double log_ohm = 7.0;
  for (int i = 0; i < 12; ++i) { // Newton's method on a gently bent cubic
    log_ohm -= (a + b * log_ohm + c * log_ohm * log_ohm * log_ohm - inverse_k) /
               (b + 3.0 * c * log_ohm * log_ohm);
  }
  const double log_read = std::log(std::exp(log_ohm) + ohm);
  return 1.0 / (a + b * log_read + c * log_read * log_read * log_read) - 273.15;
}

class GaugeSensor {
 public:
  GaugeSensor(const Vehicle& vehicle, const DrivePlan& plan)
      : vehicle_(vehicle), bursts_(plan.seed ^ 0x5E4ULL), sensed_c_(plan.start_c),
        shown_c_(plan.start_c) {}

  double step(double coolant_c, const FaultPlan& fault, double time_s) {
    sensed_c_ += (coolant_c - sensed_c_) * k_step_s / vehicle_.sensor_lag_s;
    if (at_work(fault, Fault::sensor_frozen, time_s) > 0.0) return shown_c_;
    double told_c = sensed_c_;
    if (const double r = at_work(fault, Fault::sensor_series_resistance, time_s); r > 0.0) {
      told_c = reading_with_series_resistance(told_c, 100.0 * r);
    }
    const double drops = at_work(fault, Fault::sensor_dropouts, time_s);
    const double jumps = at_work(fault, Fault::sensor_jumps, time_s);
    if (drops + jumps > 0.0 && bursts_.step(drops + jumps, 2.0, 15.0)) {
      told_c = disturbed(told_c, jumps > 0.0);
    }
    const double q = vehicle_.sensor_step_c;
    shown_c_ = q > 0.0 ? std::floor(told_c / q + 0.5) * q : told_c;
    return shown_c_;
  }

 private:
  [[nodiscard]] double disturbed(double told_c, bool jumps) const {
    if (jumps && bursts_.kind < 0.6) {
      return told_c + (bursts_.kind < 0.3 ? -1.0 : 1.0) * (15.0 + 30.0 * bursts_.size);
    }
    return bursts_.size < 0.5 ? -40.0 : std::numeric_limits<double>::quiet_NaN();
  }

  const Vehicle& vehicle_;
  Bursts bursts_;
  double sensed_c_;
  double shown_c_;
};

void add_row(DriveLog& log, double time_s, const Motion& motion) {
  log.time_s.push_back(static_cast<float>(time_s));
  log.load_pct.push_back(static_cast<float>(100.0 * motion.load));
  log.rpm.push_back(static_cast<float>(motion.rpm));
  log.speed_kmh.push_back(static_cast<float>(3.6 * motion.speed_mps));
  log.altitude_m.push_back(static_cast<float>(motion.altitude_m));
}

std::string cell(float value, int decimals) {
  return std::isnan(value) ? std::string() : fmt::format("{:.{}f}", value, decimals);
}

} // namespace

double crossflow_effectiveness(double transfer_units, double ratio) {
  return (1.0 - std::exp(-ratio * (1.0 - std::exp(-transfer_units)))) / ratio;
}

DriveLog simulate_drive(const Vehicle& vehicle, const DrivePlan& plan, const FaultPlan& fault) {
  Driver driver(vehicle, plan);
  Cooling cooling(vehicle, plan);
  GaugeSensor sensor(vehicle, plan);
  DriveLog log;
  const auto stride =
      std::max<std::size_t>(1, static_cast<std::size_t>(plan.sample_period_s / k_step_s + 0.5));
  double ambient_c = plan.ambient_c;
  std::size_t tick = 0;
  for (const Leg& leg : plan.legs) {
    const auto ticks = static_cast<std::size_t>(leg.minutes * 60.0 / k_step_s + 0.5);
    for (const std::size_t end = tick + ticks; tick < end; ++tick) {
      const double time_s = static_cast<double>(tick) * k_step_s;
      const Motion& motion = driver.step(leg.kind, cooling.engine_c(), ambient_c);
      ambient_c = plan.ambient_c - 0.0065 * (motion.altitude_m - plan.altitude_m);
      const double shown_c = sensor.step(cooling.at_sensor_c(), fault, time_s);
      if (tick % stride == 0) {
        add_row(log, time_s, motion);
        log.coolant_c.push_back(static_cast<float>(shown_c));
        log.ambient_c.push_back(static_cast<float>(ambient_c));
        log.true_coolant_c.push_back(static_cast<float>(cooling.engine_c()));
        log.true_lift.push_back(static_cast<float>(cooling.lift()));
      }
      cooling.step(motion, ambient_c, fault, time_s);
    }
  }
  log.heat = cooling.ledger;
  return log;
}

std::string drive_csv(const DriveLog& log) {
  std::string text = "time_s,coolant_c,ambient_c,load_pct,rpm,speed_kmh,altitude_m\n";
  for (std::size_t i = 0; i < log.size(); ++i) {
    fmt::format_to(std::back_inserter(text), "{:.1f},{},{:.1f},{:.1f},{:.0f},{:.1f},{:.0f}\n",
                   log.time_s[i], cell(log.coolant_c[i], 1), log.ambient_c[i], log.load_pct[i],
                   log.rpm[i], log.speed_kmh[i], log.altitude_m[i]);
  }
  return text;
}

} // namespace coolband::testing
