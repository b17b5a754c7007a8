// SPDX-License-Identifier: Apache-2.0
// Driver, circuit, faults and sensor in step, one row at a time.
#include "circuit/driver.hpp"
#include "circuit/scenario.hpp"
#include "circuit/share.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

constexpr double k_lapse_k_per_m = 0.0065; // ISO 2533

double to_steps(double value, double step) {
  return step > 0.0 ? std::floor(value / step + 0.5) * step : value;
}

/// The outside pressure, worked out anew only when the height has changed by some metres.
class Barometer {
 public:
  double at(double altitude_m) {
    if (std::abs(altitude_m - altitude_m_) > 5.0) {
      altitude_m_ = altitude_m;
      kpa_ = atmospheric_pressure_kpa(altitude_m);
    }
    return kpa_;
  }

 private:
  double altitude_m_ = std::numeric_limits<double>::infinity();
  double kpa_ = 0.0;
};

/// The holes of a log, asked for in order of time.
class Gaps {
 public:
  explicit Gaps(std::vector<LogGap> gaps) : gaps_(std::move(gaps)) {
    std::sort(gaps_.begin(), gaps_.end(),
              [](const LogGap& a, const LogGap& b) { return a.from_s < b.from_s; });
  }

  bool holds(double time_s) {
    while (next_ < gaps_.size() && time_s >= gaps_[next_].to_s) ++next_;
    return next_ < gaps_.size() && time_s >= gaps_[next_].from_s;
  }

 private:
  std::vector<LogGap> gaps_;
  std::size_t next_ = 0;
};

class Simulation {
 public:
  explicit Simulation(const Scenario& scenario)
      : scenario_(scenario), driver_(scenario), circuit_(scenario.circuit, start_c(scenario)),
        faults_(scenario.faults, scenario.seed ^ 0xFA017ULL),
        sensor_(scenario.logging.sensor, start_c(scenario), scenario.seed ^ 0x5E4502ULL),
        missing_(scenario.seed ^ 0x3155ULL), gaps_(scenario.logging.gaps) {}

  void begin(const RoutePhase& phase) { driver_.begin(phase); }

  /// What driver, weather and faults are at `time_s`.
  void look(double time_s) {
    time_s_ = time_s;
    const double rise_m = driver_.motion().altitude_m - scenario_.start_altitude_m;
    const Weather& weather = scenario_.weather;
    air_.temperature_c =
        weather.ambient_c + weather.change_c_per_h * time_s / 3600.0 - k_lapse_k_per_m * rise_m;
    air_.pressure_kpa = barometer_.at(driver_.motion().altitude_m);
    driver_.step(circuit_.state().coolant_c, air_);
    faults_.go_to(time_s);
    sensor_.follow(circuit_.state().coolant_c, faults_.sensor(), k_simulation_step_s);
  }

  void go_on() {
    const Motion& motion = driver_.motion();
    Operation operation;
    operation.running = motion.running;
    operation.load = motion.load;
    operation.rpm = motion.rpm;
    operation.speed_mps = std::max(motion.speed_mps + scenario_.weather.headwind_kmh / 3.6, 0.0);
    operation.ambient_c = air_.temperature_c;
    operation.outside_kpa = air_.pressure_kpa;
    operation.heater = scenario_.comfort.heater.value_or(share((18.0 - air_.temperature_c) / 13.0));
    circuit_.step(operation, faults_.circuit(), k_simulation_step_s);
  }

  [[nodiscard]] bool in_gap() { return gaps_.holds(time_s_); }

  SimulatedRow row() {
    const Motion& motion = driver_.motion();
    SimulatedRow row;
    row.time_s = time_s_;
    row.coolant_c = sensor_.shown_c(faults_.sensor());
    if (missing_.share() < scenario_.logging.missing_share)
      row.coolant_c = std::numeric_limits<double>::quiet_NaN();
    row.ambient_c = to_steps(air_.temperature_c, scenario_.logging.ambient_resolution_c);
    row.load_pct = 100.0 * motion.load;
    row.rpm = motion.rpm;
    row.speed_kmh = 3.6 * motion.speed_mps;
    row.altitude_m = motion.altitude_m;
    row.fan_on = scenario_.circuit.fan == FanDrive::electric && circuit_.state().fan > 0.5;
    row.truth = circuit_.state();
    row.flows = circuit_.flows();
    row.fault_active = faults_.active();
    return row;
  }

 private:
  static double start_c(const Scenario& scenario) {
    return std::isnan(scenario.start_c) ? scenario.weather.ambient_c : scenario.start_c;
  }

  const Scenario& scenario_;
  Driver driver_;
  Circuit circuit_;
  FaultCourse faults_;
  SensorReading sensor_;
  SplitMix missing_;
  Gaps gaps_;
  Barometer barometer_;
  Air air_;
  double time_s_ = 0.0;
};

std::size_t steps_in(double seconds) {
  return static_cast<std::size_t>(std::llround(seconds / k_simulation_step_s));
}

void run(const Scenario& scenario, const std::function<bool(const SimulatedRow&)>& each_row) {
  Simulation simulation(scenario);
  const std::size_t stride = steps_in(scenario.logging.period_s);
  double end_s = 0.0;
  std::size_t step = 0;
  for (const RoutePhase& phase : scenario.route) {
    simulation.begin(phase);
    end_s += phase.minutes * 60.0;
    for (const std::size_t end = steps_in(end_s); step < end; ++step) {
      simulation.look(static_cast<double>(step) * k_simulation_step_s);
      const bool due = step % stride == 0 && !simulation.in_gap();
      if (due && !each_row(simulation.row())) return;
      simulation.go_on();
    }
  }
}

} // namespace

std::optional<Error> simulate_while(const Scenario& scenario,
                                    const std::function<bool(const SimulatedRow&)>& each_row) {
  if (const auto problem = problem_in(scenario)) {
    return Error{ErrorKind::usage, {}, problem->field + " " + problem->what, "", problem->remedy};
  }
  run(scenario, each_row);
  return std::nullopt;
}

std::optional<Error> simulate(const Scenario& scenario,
                              const std::function<void(const SimulatedRow&)>& each_row) {
  return simulate_while(scenario, [&](const SimulatedRow& row) {
    each_row(row);
    return true;
  });
}

} // namespace coolband
