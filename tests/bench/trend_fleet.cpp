// SPDX-License-Identifier: Apache-2.0
// Weather by season and day; the owner's everyday routes. Lengths and shares: common practice, no
// source.
#include "bench/trend_fleet.hpp"

#include "accuracy/columns.hpp"
#include "accuracy/population.hpp"
#include "coolband/analyse.hpp"
#include "coolband/core/timestamp.hpp"
#include "coolband/import/import_log.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace coolband::testing {

namespace {

using accuracy::DrawnVehicle;

constexpr double k_day_s = 86400.0;
constexpr std::size_t k_learned = 12;
constexpr double k_learned_over_days = 20.0;

struct Owner {
  DrawnVehicle vehicle;
  double first_day = 0.0; ///< of the year, on which the trips begin
  double mean_c = 12.0;
  double swing_c = 10.0; ///< of the seasons about that
};

Owner make_owner(const YearPlan& plan) {
  Owner owner{accuracy::draw_vehicle(plan.seed, plan.number)};
  Random random = accuracy::random_for(plan.seed, plan.number, 1);
  owner.first_day = random.between(0.0, k_year_days);
  owner.mean_c = random.between(8.0, 16.0);
  owner.swing_c = random.between(8.0, 12.0);
  return owner;
}

/// Parts of one kind differ: the thermostat's start of opening within 2 K of its stamp (makers'
/// service texts), the rest by some percent (common practice, no source).
Owner make_sibling(const SiblingPlan& plan) {
  Owner owner{accuracy::draw_vehicle(plan.seed, plan.group)};
  Random yard = accuracy::random_for(plan.seed, plan.group, 3);
  Random random = accuracy::random_for(plan.seed, plan.group, 100 + plan.number);
  CircuitParameters& circuit = owner.vehicle.circuit;
  circuit.opens_c = owner.vehicle.stamped_c + random.between(-2.0, 2.0);
  circuit.span_k *= random.between(0.95, 1.05);
  circuit.radiator_ua_kw_per_k *= random.between(0.93, 1.07);
  circuit.flow_l_per_min *= random.between(0.95, 1.05);
  circuit.full_heat_kw *= random.between(0.95, 1.05);
  owner.first_day = yard.between(0.0, k_year_days);
  owner.mean_c = yard.between(8.0, 16.0);
  owner.vehicle.town = random.between(0.15, 0.5);
  owner.vehicle.highway = random.between(0.1, 0.4);
  return owner;
}

double air_on(const Owner& owner, double day, Random& random) {
  const double turn = 2.0 * std::numbers::pi * (owner.first_day + day - 200.0) / k_year_days;
  return owner.mean_c + owner.swing_c * std::cos(turn) + random.between(-5.0, 5.0) +
         random.between(-3.0, 3.0);
}

void add(Scenario& scenario, RouteKind kind, double minutes) {
  RoutePhase phase;
  phase.kind = kind;
  phase.minutes = minutes;
  scenario.route.push_back(phase);
}

void plan_route(const DrawnVehicle& vehicle, Random& random, Scenario& scenario) {
  add(scenario, RouteKind::idle, random.between(0.2, 2.0));
  for (double left = random.between(22.0, 42.0); left > 0.0;) {
    const double pick = random.between(0.0, 1.0);
    const double minutes = random.between(4.0, 14.0);
    add(scenario,
        pick < vehicle.town                     ? RouteKind::town
        : pick < vehicle.town + vehicle.highway ? RouteKind::highway
                                                : RouteKind::road,
        minutes);
    if (vehicle.heavy && scenario.route.back().kind == RouteKind::highway)
      scenario.route.back().speed_kmh = random.between(78.0, 88.0);
    if (accuracy::chance(random, 0.2)) add(scenario, RouteKind::idle, random.between(0.5, 4.0));
    left -= minutes;
  }
  if (!accuracy::chance(random, 0.25)) return;
  add(scenario, RouteKind::climb, random.between(4.0, 9.0));
  if (vehicle.heavy) scenario.route.back().grade_pct = random.between(3.5, 6.0);
  if (accuracy::chance(random, 0.3))
    scenario.route.back().trailer_kg = random.between(0.0, 0.6) * vehicle.tows_kg;
  add(scenario, RouteKind::road, 5.0);
}

Scenario plan_trip(const Owner& owner, double day, Random& random) {
  Scenario scenario;
  scenario.circuit = owner.vehicle.circuit;
  scenario.body = owner.vehicle.body;
  scenario.seed = static_cast<std::uint64_t>(random.between(1.0, 9e15));
  scenario.start_altitude_m = random.between(50.0, 400.0);
  scenario.weather.ambient_c = air_on(owner, day, random);
  scenario.weather.headwind_kmh = random.between(-12.0, 12.0) + random.between(-12.0, 12.0);
  scenario.start_c = scenario.weather.ambient_c + random.between(0.0, 2.0);
  if (accuracy::chance(random, 0.25)) // parked an hour ago
    scenario.start_c = random.between(35.0, owner.vehicle.circuit.opens_c);
  const double cold = std::clamp((18.0 - scenario.weather.ambient_c) / 18.0, 0.0, 1.0);
  scenario.comfort.heater = cold * random.between(0.4, 1.0);
  scenario.logging.sensor = owner.vehicle.sensor;
  scenario.logging.missing_share = owner.vehicle.missing_share;
  scenario.logging.period_s = 2.0;
  plan_route(owner.vehicle, random, scenario);
  return scenario;
}

std::optional<Recording> driven(const Scenario& scenario, YearOfTrips& year) {
  std::vector<SimulatedRow> rows;
  if (const auto error =
          simulate(scenario, [&](const SimulatedRow& row) { rows.push_back(row); })) {
    year.problems.push_back(describe(*error));
    return std::nullopt;
  }
  accuracy::ColumnSet set = *accuracy::column_set_named("full");
  set.step_c = 1.0;
  set.period_s = 2.0;
  auto recording = import_text(accuracy::log_text(rows, set), "trip.csv");
  if (recording) return std::move(*recording);
  year.problems.push_back(describe(recording.error()));
  return std::nullopt;
}

std::optional<NormalBand> learn(const Owner& owner, const std::vector<FaultPlan>& faults,
                                YearOfTrips& year) {
  std::vector<DriveSummary> drives;
  for (std::size_t i = 0; i < k_learned; ++i) {
    Random random = accuracy::random_for(year.plan.seed, year.plan.number, 10 + i);
    const double day = random.between(-k_learned_over_days, 0.0);
    Scenario scenario = plan_trip(owner, day, random);
    scenario.faults = faults;
    const auto recording = driven(scenario, year);
    if (!recording) continue;
    for (LearningDrive& drive : summarise_drives(*recording))
      if (drive.summary) drives.push_back(std::move(*drive.summary));
  }
  LearnOptions options;
  options.fit_circuit = false; // as a fleet learns at first
  auto band = learn_band(std::move(drives), "bench", std::nullopt, options);
  if (band) return std::move(*band);
  year.problems.push_back(describe(band.error()));
  return std::nullopt;
}

bool names_fault(const TripMeasures& trip) {
  return trip.condition != Condition::normal && trip.condition != Condition::undetermined;
}

/// The trips of one drive as they are kept.
std::vector<TripMeasures> measured(const Scenario& scenario, const std::optional<NormalBand>& band,
                                   const Clock& clock, YearOfTrips& year) {
  std::vector<TripMeasures> trips;
  const auto recording = driven(scenario, year);
  if (!recording) return trips;
  for (const TripFinding& finding : analyse(*recording, band, std::nullopt)) {
    const std::string start = format_instant(clock, finding.trip.start_s);
    trips.push_back(measure_trip(finding, {start, start, "coolant"}));
  }
  return trips;
}

Clock clock_on(const Owner& owner, double day) {
  constexpr double k_new_year_s = 1924992000.0; // 2031-01-01
  return {ClockKind::absolute, k_new_year_s + (owner.first_day + day) * k_day_s, 0};
}

void take_trip(const Owner& owner, const NormalBand& band, double day, Random& random,
               YearOfTrips& year) {
  const Clock clock = clock_on(owner, day);
  const Scenario sound = plan_trip(owner, day, random);
  Scenario scenario = sound;
  const double severity = year.plan.fault ? severity_on(day) : 0.0;
  if (severity > 0.0) scenario.faults.push_back({*year.plan.fault, severity});
  for (TripMeasures& trip : measured(scenario, band, clock, year)) {
    YearTrip taken{day, severity, std::move(trip)};
    const TripMeasures& told = taken.measures;
    if (severity > 0.0 && (told.left_band || names_fault(told))) {
      const auto twins = measured(sound, band, clock, year);
      const auto any = [&](auto what) { return std::any_of(twins.begin(), twins.end(), what); };
      taken.left_by_fault = told.left_band && !any([](const auto& t) { return t.left_band; });
      taken.named_by_fault = names_fault(told) && !any(names_fault);
    }
    year.trips.push_back(std::move(taken));
  }
}

} // namespace

std::vector<TripMeasures> drive_sibling(const SiblingPlan& plan) {
  YearOfTrips year{{plan.seed, 1000 * plan.group + plan.number, plan.fault}, {}, {}};
  const Owner owner = make_sibling(plan);
  std::vector<FaultPlan> faults;
  if (plan.fault) faults.push_back({*plan.fault, plan.severity});
  std::vector<TripMeasures> trips;
  // Where none can be learned each trip is judged by itself, as a fleet does it.
  const auto band = learn(owner, faults, year);
  Random random = accuracy::random_for(plan.seed, year.plan.number, 2);
  for (std::size_t i = 0; i < plan.trips; ++i) {
    const double day = 2.0 * static_cast<double>(i) + 0.5;
    Scenario scenario = plan_trip(owner, day, random);
    scenario.faults = faults;
    for (TripMeasures& trip : measured(scenario, band, clock_on(owner, day), year))
      trips.push_back(std::move(trip));
  }
  return trips;
}

double severity_on(double day) {
  return std::max(0.0, (day - k_fault_day) / (k_year_days - k_fault_day)) * k_worst_severity;
}

YearOfTrips drive_a_year(const YearPlan& plan) {
  YearOfTrips year{plan, {}, {}};
  const Owner owner = make_owner(plan);
  const auto band = learn(owner, {}, year);
  if (!band) return year;
  Random random = accuracy::random_for(plan.seed, plan.number, 2);
  // Some days none, some days two.
  for (double day = 0.5; day < k_year_days; day += random.between(0.3, 1.7) / plan.trips_a_day)
    take_trip(owner, *band, day, random, year);
  return year;
}

} // namespace coolband::testing
