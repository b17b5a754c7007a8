// SPDX-License-Identifier: Apache-2.0
// One drive to be simulated: vehicle, weather, route, faults and how it is logged.
#pragma once

#include "circuit/circuit.hpp"
#include "circuit/fault.hpp"
#include "circuit/sensor.hpp"
#include "coolband/core/result.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

/// What moves: enough of the vehicle to turn a route into engine speed and load.
struct Body {
  double mass_kg = 2400.0;
  double drag_area_m2 = 1.1; ///< drag coefficient times frontal area
  double rolling = 0.016;    ///< resistance per weight on a hard road
  double rated_power_kw = 92.0;
  double top_gear_rpm_per_kmh = 22.0;
};

enum class RouteKind : std::uint8_t {
  idle,
  town,
  road,
  highway,
  climb,
  descent,
  track,
  sand,
  stop
};
std::string_view name_of(RouteKind kind);
std::optional<RouteKind> route_named(std::string_view name);

/// A stretch of the route; `stop` has the engine off. What is not given is drawn as such a stretch
/// usually is.
struct RoutePhase {
  RouteKind kind = RouteKind::road;
  double minutes = 10.0;
  std::optional<double> speed_kmh; ///< aimed at, within 8 %; hills, power and stops have their say
  std::optional<double> grade_pct; ///< held throughout, but the road is level at 5000 and -400 m
  double trailer_kg = 0.0;         ///< trailer and extra load in this stretch
};

struct Weather {
  double ambient_c = 20.0; ///< at the start's height; falls with height by the standard atmosphere
  double change_c_per_h = 0.0;
  double headwind_kmh = 0.0; ///< on the vehicle's drag and through its radiator; below 0: tailwind
};

/// What the people in the cabin want.
struct Comfort {
  std::optional<double> heater; ///< 0..1; none: nothing from 18 °C, full from 5 °C outside
  std::optional<bool> air_conditioning; ///< none: on from 24 °C outside. Loads the engine only
};

/// A hole in the log: no rows in [from_s, to_s).
struct LogGap {
  double from_s = 0.0;
  double to_s = 0.0;
};

struct Logging {
  double period_s = 1.0; ///< between rows, a multiple of `k_simulation_step_s`
  Sensor sensor;
  double ambient_resolution_c = 0.5; ///< steps of the outside temperature; 0: none
  std::vector<LogGap> gaps;
  double missing_share = 0.0; ///< of the coolant cells, empty at random
};

struct Scenario {
  std::string name;
  CircuitParameters circuit;
  Body body;
  Weather weather;
  Comfort comfort;
  double start_c = std::numeric_limits<double>::quiet_NaN(); ///< of the engine; NaN: as the air
  double start_altitude_m = 100.0;
  std::vector<RoutePhase> route;
  std::vector<FaultPlan> faults;
  Logging logging;
  std::uint64_t seed = 1;
};

inline constexpr double k_simulation_step_s = 0.5;

/// One logged row: what the log says, then what is true.
struct SimulatedRow {
  double time_s = 0.0;
  double coolant_c = 0.0; ///< NaN: no reading
  double ambient_c = 0.0;
  double load_pct = 0.0;
  double rpm = 0.0;
  double speed_kmh = 0.0;
  double altitude_m = 0.0;
  bool fan_on = false; ///< electric fan

  CircuitState truth;
  HeatFlows flows;
  bool fault_active = false;
};

/// What is impossible about a scenario. `field` is its place in a scenario file
/// ("route[2].minutes").
struct ScenarioProblem {
  std::string field;
  std::string what;   ///< "is -5, outside 0 to 100000"
  std::string remedy; ///< may be empty
};

inline constexpr double k_longest_drive_min = 1e6;
inline constexpr double k_most_severe = 2.0;

enum class ScenarioPart { all, vehicle };

/// The first thing about the scenario that is impossible; none when all is possible.
std::optional<ScenarioProblem> problem_in(const Scenario& scenario,
                                          ScenarioPart part = ScenarioPart::all);

/// Drives the scenario, one call a row, in order; memory does not grow with the drive's length.
/// Error (kind usage): the first thing about the scenario that is impossible.
std::optional<Error> simulate(const Scenario& scenario,
                              const std::function<void(const SimulatedRow&)>& each_row);

/// The same, until `each_row` gives false.
std::optional<Error> simulate_while(const Scenario& scenario,
                                    const std::function<bool(const SimulatedRow&)>& each_row);

} // namespace coolband
