// SPDX-License-Identifier: Apache-2.0
// Routes, weather and habits. All lengths and shares are common practice, no source.
#include "accuracy/drives.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace coolband::accuracy {
namespace {

/// Builds one drive piece by piece.
class Planner {
 public:
  Planner(const DrawnVehicle& vehicle, Random& random) : vehicle_(vehicle), random_(random) {
    scenario_.circuit = vehicle.circuit;
    scenario_.body = vehicle.body;
    scenario_.logging.sensor = vehicle.sensor;
    scenario_.logging.missing_share = vehicle.missing_share;
    scenario_.seed = static_cast<std::uint64_t>(random.between(1.0, 9e15));
    scenario_.start_altitude_m = random.between(0.0, 700.0);
    scenario_.weather.headwind_kmh = random.between(-12.0, 12.0) + random.between(-12.0, 12.0);
    scenario_.weather.change_c_per_h = random.between(-1.5, 1.5);
  }

  Scenario take() { return std::move(scenario_); }
  [[nodiscard]] Scenario& scenario() { return scenario_; }

  void weather(double low_c, double high_c) {
    const double ambient_c = random_.between(low_c, high_c);
    scenario_.weather.ambient_c = ambient_c;
    scenario_.start_c = ambient_c + random_.between(0.0, 2.0);
    // Colder, more heat; but people turn it down as they please.
    const double needed = std::clamp((18.0 - ambient_c) / 18.0, 0.0, 1.0);
    scenario_.comfort.heater = needed * random_.between(0.4, 1.0);
  }

  /// Parked an hour ago, not overnight.
  void still_warm() { scenario_.start_c = random_.between(35.0, scenario_.circuit.opens_c); }

  void add(RouteKind kind, double shortest_min, double longest_min, double trailer_kg = 0.0) {
    RoutePhase phase;
    phase.kind = kind;
    phase.minutes = random_.between(shortest_min, longest_min);
    phase.trailer_kg = trailer_kg;
    if (vehicle_.heavy) tame(phase);
    scenario_.route.push_back(phase);
  }

  /// A steep track at walking pace, in low range.
  void crawl_uphill() {
    add(RouteKind::track, 9.0, 16.0);
    scenario_.route.back().speed_kmh = random_.between(6.0, 12.0);
    scenario_.route.back().grade_pct = random_.between(3.0, 7.0);
  }

  /// Everyday stretches for about so long.
  void everyday(double minutes) {
    while (minutes > 0.0) {
      const double length = std::min(std::max(minutes, 2.0), random_.between(4.0, 14.0));
      const double pick = random_.between(0.0, 1.0);
      add(pick < vehicle_.town                      ? RouteKind::town
          : pick < vehicle_.town + vehicle_.highway ? RouteKind::highway
                                                    : RouteKind::road,
          length, length);
      if (chance(random_, 0.2)) add(RouteKind::idle, 0.5, 3.0);
      minutes -= length;
    }
  }

 private:
  void tame(RoutePhase& phase) {
    if (phase.kind == RouteKind::highway) phase.speed_kmh = random_.between(78.0, 88.0);
    if (phase.kind == RouteKind::climb) phase.grade_pct = random_.between(3.5, 6.0);
    if (phase.kind == RouteKind::descent) phase.grade_pct = random_.between(-6.0, -3.5);
  }

  const DrawnVehicle& vehicle_;
  Random& random_;
  Scenario scenario_;
};

void plan_cold(Planner& plan, Random& random) {
  plan.weather(-30.0, -7.0);
  plan.add(RouteKind::idle, 3.0, 12.0);
  plan.add(RouteKind::town, 6.0, 12.0);
  plan.add(RouteKind::road, 8.0, 18.0);
  if (chance(random, 0.5)) plan.add(RouteKind::idle, 12.0, 22.0);
  plan.scenario().comfort.heater = random.between(0.6, 1.0);
}

void plan_restart(Planner& plan) {
  plan.weather(8.0, 36.0);
  plan.add(RouteKind::road, 12.0, 18.0);
  plan.add(RouteKind::climb, 5.0, 9.0);
  plan.add(RouteKind::stop, 4.0, 25.0);
  plan.add(RouteKind::idle, 0.5, 3.0);
  plan.add(RouteKind::road, 10.0, 16.0);
}

void plan_altitude(Planner& plan, Random& random, double tows_kg) {
  plan.scenario().start_altitude_m = random.between(2300.0, 4000.0);
  plan.weather(-4.0, 22.0);
  plan.add(RouteKind::road, 12.0, 18.0);
  plan.add(RouteKind::climb, 8.0, 14.0, chance(random, 0.3) ? 0.5 * tows_kg : 0.0);
  plan.add(RouteKind::descent, 4.0, 8.0);
  plan.add(RouteKind::road, 5.0, 10.0);
}

void plan_extremes(Planner& plan, Outing outing, Random& random, double tows_kg) {
  switch (outing) {
  case Outing::deep_cold: plan_cold(plan, random); break;
  case Outing::restart: plan_restart(plan); break;
  case Outing::altitude: plan_altitude(plan, random, tows_kg); break;
  case Outing::trailer_climb:
    plan.weather(6.0, 35.0);
    plan.add(RouteKind::road, 10.0, 16.0, tows_kg);
    plan.add(RouteKind::climb, 12.0, 24.0, tows_kg);
    plan.add(RouteKind::road, 5.0, 9.0, tows_kg);
    break;
  case Outing::sand:
    plan.weather(14.0, 38.0);
    plan.add(RouteKind::road, 8.0, 12.0);
    plan.add(RouteKind::sand, 9.0, 18.0);
    plan.add(RouteKind::track, 9.0, 18.0);
    break;
  case Outing::heat:
    plan.weather(30.0, 42.0);
    plan.everyday(random.between(24.0, 40.0));
    plan.add(RouteKind::idle, 3.0, 8.0);
    break;
  default:
    plan.weather(0.0, 34.0);
    plan.add(RouteKind::road, 11.0, 16.0);
    plan.add(RouteKind::idle, 18.0, 32.0);
    plan.add(RouteKind::road, 4.0, 8.0);
    break;
  }
}

void plan_telling(Planner& plan, Outing outing, Random& random, double tows_kg) {
  switch (outing) {
  case Outing::hot_crawl:
    plan.weather(26.0, 42.0);
    plan.add(RouteKind::road, 8.0, 12.0);
    plan.add(RouteKind::idle, 9.0, 18.0);
    if (chance(random, 0.5))
      plan.add(RouteKind::town, 9.0, 16.0);
    else
      plan.crawl_uphill();
    plan.add(RouteKind::idle, 6.0, 12.0);
    break;
  case Outing::hot_climb:
    plan.weather(20.0, 38.0);
    plan.add(RouteKind::road, 8.0, 12.0);
    tows_kg *= random.between(0.2, 1.0);
    plan.add(RouteKind::climb, 12.0, 22.0, tows_kg);
    plan.add(RouteKind::highway, 7.0, 14.0, tows_kg);
    break;
  case Outing::high_climb:
    plan.scenario().start_altitude_m = random.between(1500.0, 2800.0);
    plan.weather(22.0, 36.0);
    plan.add(RouteKind::road, 8.0, 12.0, tows_kg);
    plan.add(RouteKind::climb, 15.0, 24.0, tows_kg);
    plan.add(RouteKind::idle, 2.0, 6.0);
    break;
  case Outing::limit_climb:
    plan.weather(32.0, 43.0);
    plan.add(RouteKind::road, 8.0, 12.0, tows_kg);
    plan.add(RouteKind::climb, 15.0, 24.0, tows_kg);
    plan.add(RouteKind::highway, 7.0, 14.0, tows_kg);
    break;
  case Outing::cool_road:
    plan.weather(-6.0, 18.0);
    plan.add(RouteKind::town, 3.0, 8.0);
    plan.add(RouteKind::road, 14.0, 22.0);
    plan.add(RouteKind::highway, 8.0, 18.0);
    break;
  default:
    plan.weather(0.0, 30.0);
    plan.add(RouteKind::road, 8.0, 14.0);
    for (int i = 0; i < 2; ++i) {
      plan.add(RouteKind::climb, 3.0, 6.0);
      plan.add(RouteKind::descent, 3.0, 6.0);
      plan.add(RouteKind::town, 3.0, 7.0);
    }
    plan.add(RouteKind::highway, 4.0, 8.0);
    break;
  }
}

Scenario plan_drive(const DrawnVehicle& vehicle, Outing outing, Random& random) {
  Planner plan(vehicle, random);
  plan.add(RouteKind::idle, 0.2, 2.0);
  if (outing == Outing::ordinary) {
    plan.weather(vehicle.season_c - 10.0, vehicle.season_c + 10.0);
    plan.everyday(random.between(28.0, 50.0));
  } else if (outing == Outing::brief) {
    plan.weather(-5.0, 30.0);
    plan.everyday(random.between(9.0, 18.0));
  } else if (static_cast<std::size_t>(outing) < k_healthy_outings) {
    plan_extremes(plan, outing, random, vehicle.tows_kg);
  } else {
    plan_telling(plan, outing, random, vehicle.tows_kg);
  }
  return plan.take();
}

Outing telling_outing(FaultKind kind, Random& random) {
  switch (kind) {
  case FaultKind::thermostat_stuck_open:
  case FaultKind::thermostat_leaking: return Outing::cool_road;
  case FaultKind::thermostat_part_open:
    return chance(random, 0.5) ? Outing::cool_road : Outing::hot_climb;
  case FaultKind::thermostat_slow:
  case FaultKind::thermostat_wide_hysteresis:
  case FaultKind::thermostat_sticking: return Outing::changing;
  case FaultKind::fan_dead:
  case FaultKind::fan_clutch_slipping: return Outing::hot_crawl;
  case FaultKind::fan_stuck_on: return chance(random, 0.5) ? Outing::cool_road : Outing::hot_crawl;
  case FaultKind::cap_not_holding: return Outing::high_climb;
  case FaultKind::pump_slip:
  case FaultKind::hose_collapsed: return Outing::limit_climb;
  case FaultKind::radiator_blocked_outside:
  case FaultKind::radiator_blocked_inside:
  case FaultKind::combustion_gas:
    return chance(random, 0.5) ? Outing::hot_climb : Outing::limit_climb;
  case FaultKind::coolant_low:
  case FaultKind::air_trapped: return chance(random, 0.5) ? Outing::hot_climb : Outing::changing;
  default: return chance(random, 0.5) ? Outing::changing : Outing::ordinary;
  }
}

double length_s(const Scenario& scenario) {
  double minutes = 0.0;
  for (const RoutePhase& phase : scenario.route) minutes += phase.minutes;
  return 60.0 * minutes;
}

FaultPlan plan_fault(FaultKind kind, double drive_s, Random& random) {
  FaultPlan plan{kind, random.between(0.5, 1.6)};
  const double pick = random.between(0.0, 1.0);
  // Readings freeze under way more often than in the garage.
  const double begins_later = kind == FaultKind::sensor_frozen ? 0.66 : 1.0 / 6.0;
  if (pick < begins_later) {
    plan.from_s = drive_s * random.between(0.25, 0.6);
  } else if (pick < begins_later + 1.0 / 6.0) {
    plan.spells = Spells{random.between(60.0, 600.0), random.between(60.0, 600.0)};
  }
  return plan;
}

} // namespace

std::string_view name_of(Outing outing) {
  constexpr std::array<std::string_view, 15> k_names{
      "ordinary",  "short",      "trailer-climb", "sand",      "deep-cold",
      "heat",      "long-idle",  "restart",       "altitude",  "hot-crawl",
      "hot-climb", "high-climb", "limit-climb",   "cool-road", "changing"};
  return k_names.at(static_cast<std::size_t>(outing));
}

Scenario learning_drive(const DrawnVehicle& vehicle, std::size_t number, Random& random) {
  Planner plan(vehicle, random);
  plan.weather(std::max(-10.0, vehicle.season_c - 11.0), vehicle.season_c + 11.0);
  if (chance(random, 0.2)) plan.still_warm();
  plan.add(RouteKind::idle, 0.2, 2.0);
  if (number + 1 == k_learning_drives) {
    plan.everyday(random.between(12.0, 20.0));
    plan.add(RouteKind::climb, 8.0, 18.0, random.between(0.3, 1.0) * vehicle.tows_kg);
    plan.everyday(5.0);
    return plan.take();
  }
  plan.everyday(random.between(24.0, 50.0));
  if (number + 2 == k_learning_drives || (number == 0 && chance(random, 0.5)))
    plan.add(RouteKind::idle, 8.0, 18.0);
  if (chance(random, 0.3)) {
    plan.add(RouteKind::climb, 3.0, 8.0);
    plan.add(RouteKind::descent, 3.0, 6.0);
  }
  return plan.take();
}

Scenario healthy_drive(const DrawnVehicle& vehicle, Outing outing, Random& random) {
  return plan_drive(vehicle, outing, random);
}

FaultyDrive faulty_drive(const DrawnVehicle& vehicle, FaultKind kind, bool telling,
                         Random& random) {
  FaultyDrive drive;
  const bool everyday = !telling && chance(random, 0.4);
  drive.outing = everyday ? Outing::ordinary : telling_outing(kind, random);
  drive.scenario = plan_drive(vehicle, drive.outing, random);
  drive.scenario.faults.push_back(plan_fault(kind, length_s(drive.scenario), random));
  return drive;
}

} // namespace coolband::accuracy
