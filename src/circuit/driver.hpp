// SPDX-License-Identifier: Apache-2.0
// A driver on a route: what road, load and habits ask of the engine from moment to moment.
//
// Road load: mass times (rolling resistance + grade) + air drag + acceleration, through a gearbox
// of five gears. How people drive on each kind of stretch is judgement; the numbers stand in
// driver.cpp and docs/methods.md.
#pragma once

#include "circuit/scenario.hpp"
#include "numeric/splitmix.hpp"

#include <cstddef>

namespace coolband {

struct Motion {
  bool running = true;
  double speed_mps = 0.0;
  double grade = 0.0; ///< rise per way
  double altitude_m = 0.0;
  double rpm = 0.0;
  double load = 0.0; ///< 0..1 of the torque available at this engine speed, friction included
};

/// The air about the vehicle.
struct Air {
  double temperature_c = 20.0;
  double pressure_kpa = 101.325;
};

class Driver {
 public:
  /// The same scenario gives the same drive. `scenario` must outlive the driver.
  explicit Driver(const Scenario& scenario);

  void begin(const RoutePhase& phase);
  /// Goes on by `k_simulation_step_s`. A cold engine (`engine_c`) idles faster.
  const Motion& step(double engine_c, const Air& air);
  [[nodiscard]] const Motion& motion() const { return motion_; }

 private:
  /// What the driver does next, and for how long.
  struct Intent {
    double speed_mps = 0.0;
    double grade = 0.0;
    double seconds = 0.0;
  };

  void decide();
  void climb_or_fall();
  void drive(const Air& air);
  void shift(double power_kw);
  double between(double low, double high);
  [[nodiscard]] double rpm_in(std::size_t gear) const;
  [[nodiscard]] double full_power_kw(double rpm) const;
  [[nodiscard]] double accessories_kw(double ambient_c) const;
  [[nodiscard]] double resistance_kn(const Air& air) const;

  const Scenario& scenario_;
  const RoutePhase* phase_ = nullptr;
  SplitMix random_;
  Motion motion_;
  Intent intent_;
  double mass_kg_ = 0.0;
  double wander_ = 0.0;
  std::size_t gear_ = 0;
  double gear_held_s_ = 0.0;
};

} // namespace coolband
