// SPDX-License-Identifier: Apache-2.0
// Drives go in line by line, as a logger writes them; the clock of the log says when.
#include "bench/watch_trial.hpp"

#include "accuracy/labels.hpp"
#include "accuracy/population.hpp"
#include "coolband/analyse.hpp"
#include "coolband/circuit/coolant_fluid.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <ctime>
#include <utility>

namespace coolband::bench {

namespace {

using namespace coolband::accuracy;

// Numbers of the streams of random numbers, apart from those of the accuracy bench.
constexpr std::size_t k_learning_use = 1;
constexpr std::size_t k_healthy_use = 100;
constexpr std::size_t k_faulty_use = 1000;
constexpr std::size_t k_severe_use = 2000;
constexpr std::size_t k_most_draws = 6;
constexpr double k_nearly = 0.9;
constexpr double k_visible_for_s = 300.0;

std::vector<SimulatedRow> drive(const Scenario& scenario) {
  std::vector<SimulatedRow> rows;
  (void)simulate(scenario, [&](const SimulatedRow& row) { rows.push_back(row); });
  return rows;
}

/// Of this thread: others share the machine.
double processor_s() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

VehicleProfile profile_of(const DrawnVehicle& vehicle) {
  VehicleProfile profile;
  profile.id = "bench";
  profile.thermostat_opens_c = vehicle.stamped_c;
  profile.cap_kpa = vehicle.circuit.cap_kpa;
  profile.glycol = vehicle.circuit.mix.glycol;
  profile.concentration_vol_pct = vehicle.circuit.mix.volume_pct;
  return profile;
}

class Trial {
 public:
  Trial(const WatchTrial& trial, std::size_t number)
      : trial_(trial), number_(number), vehicle_(draw_vehicle(trial.seed, number)) {}

  std::vector<WatchedDrive> run() {
    learn();
    for (std::size_t i = 0; trial_.sound_too && i < k_healthy_outings; ++i)
      try_sound(static_cast<Outing>(i));
    for (const FaultKind kind : trial_.faults) try_fault(kind);
    for (const FaultKind kind : trial_.severe) try_severe(kind);
    return std::move(drives_);
  }

 private:
  void learn() {
    std::vector<std::string> logs;
    for (std::size_t i = 0; i < k_learning_drives; ++i) {
      Random random = random_for(trial_.seed, number_, k_learning_use + i);
      logs.push_back(log_text(drive(learning_drive(vehicle_, i, random)), set_));
    }
    std::vector<std::string> problems;
    known_ = learn_from(logs, set_, vehicle_.stamped_c, problems);
    for (const std::string& problem : problems) fmt::print(stderr, "problem: {}\n", problem);
    known_.profile = profile_of(vehicle_);
  }

  void try_sound(Outing outing) {
    Random random =
        random_for(trial_.seed, number_, k_healthy_use + static_cast<std::size_t>(outing));
    for (std::size_t draw = 0; draw < k_most_draws; ++draw) {
      const auto rows = drive(healthy_drive(vehicle_, outing, random));
      if (rows.back().truth.boiled_l > 0.0) continue;
      WatchedDrive watched = watch(rows, fmt::format("v{}-{}", number_, name_of(outing)));
      drives_.push_back(std::move(watched));
      return;
    }
  }

  /// Draws until the fault can be seen.
  void try_fault(FaultKind kind) {
    Random random = random_for(trial_.seed, number_, k_faulty_use + static_cast<std::size_t>(kind));
    for (std::size_t draw = 0; draw < k_most_draws; ++draw) {
      const FaultyDrive planned = faulty_drive(vehicle_, kind, draw > 0, random);
      Scenario sound = planned.scenario;
      sound.faults.clear();
      const auto rows = drive(planned.scenario);
      const Label label = label_of(kind, rows, drive(sound));
      if (!label.observable) continue;
      WatchedDrive watched = watch(rows, fmt::format("v{}-{}", number_, name_of(kind)));
      watched.sound = false;
      for (const Stretch& stretch : label.stretches) {
        if (stretch.to_s - stretch.from_s < k_visible_for_s) continue;
        watched.visible_s = stretch.from_s;
        break;
      }
      drives_.push_back(std::move(watched));
      return;
    }
  }

  /// Sets in under way, so that a sound drive comes before it.
  void try_severe(FaultKind kind) {
    Random random = random_for(trial_.seed, number_, k_severe_use + static_cast<std::size_t>(kind));
    Scenario scenario = faulty_drive(vehicle_, kind, true, random).scenario;
    scenario.faults = {{kind, k_most_severe, random.between(300.0, 900.0)}};
    WatchedDrive watched =
        watch(drive(scenario), fmt::format("v{}-severe-{}", number_, name_of(kind)));
    watched.sound = false;
    drives_.push_back(std::move(watched));
  }

  WatchedDrive watch(const std::vector<SimulatedRow>& rows, std::string id) const {
    WatchedDrive watched;
    watched.id = std::move(id);
    watched.hours = static_cast<double>(rows.size()) / 3600.0;
    watched.nearly_boils_s = nearly_boils(rows);
    const std::string log = log_text(rows, set_);
    const double start_s = processor_s();
    const std::vector<Judgement> told = follow(log, watched);
    watched.took_s = processor_s() - start_s;
    compare(log, told, watched);
    return watched;
  }

  /// Watches the log; the verdicts of its trips.
  std::vector<Judgement> follow(const std::string& log, WatchedDrive& watched) const {
    std::vector<Judgement> told;
    WatchSetup setup;
    setup.source = watched.id;
    setup.band = known_.band;
    setup.profile = known_.profile;
    Watch watch(std::move(setup),
                {[&](const WatchEvent& event) {
                   if (event.moment == WatchMoment::trip_end)
                     told.push_back(event.finding.judgement);
                   if (event.moment == WatchMoment::change)
                     watched.said.push_back(
                         {clock_of(event.recording), event.standing, event.heat.has_value()});
                 },
                 [](const std::string&) {}});
    std::optional<Error> error;
    for (std::size_t from = 0; from < log.size() && !error;) {
      const std::size_t end = log.find('\n', from) + 1;
      error = watch.take(std::string_view(log).substr(from, end - from));
      from = end;
    }
    if (!error) error = watch.end();
    if (error) fmt::print(stderr, "problem: {}\n", describe(*error));
    return told;
  }

  static double clock_of(const Recording& recording) {
    return recording.clock.start_s + recording.time_s.back();
  }

  void compare(const std::string& log, const std::vector<Judgement>& told,
               WatchedDrive& watched) const {
    const auto recording = import_text(log, watched.id);
    if (!recording) return;
    const auto findings = analyse(*recording, known_.band, known_.profile);
    watched.trips = findings.size();
    if (told.size() != findings.size()) watched.other_verdicts = findings.size();
    for (std::size_t i = 0; i < std::min(told.size(), findings.size()); ++i) {
      const Judgement& whole = findings[i].judgement;
      if (told[i].condition != whole.condition) ++watched.other_verdicts;
      watched.confidence_off =
          std::max(watched.confidence_off, std::abs(told[i].confidence - whole.confidence));
    }
  }

  [[nodiscard]] std::optional<double> nearly_boils(const std::vector<SimulatedRow>& rows) const {
    if (!known_.band) return std::nullopt;
    double highest_m = rows.front().altitude_m;
    for (const SimulatedRow& row : rows) highest_m = std::max(highest_m, row.altitude_m);
    const auto point = boiling_point_c(vehicle_.circuit.mix, atmospheric_pressure_kpa(highest_m) +
                                                                 vehicle_.circuit.cap_kpa);
    if (!point) return std::nullopt;
    const double level_c = known_.band->centre_c;
    for (const SimulatedRow& row : rows) {
      if (row.truth.coolant_c >= level_c + k_nearly * (*point - level_c)) return row.time_s;
    }
    return std::nullopt;
  }

  const WatchTrial& trial_;
  std::size_t number_;
  DrawnVehicle vehicle_;
  ColumnSet set_ = *column_set_named("full");
  Known known_;
  std::vector<WatchedDrive> drives_;
};

} // namespace

std::vector<WatchedDrive> watch_vehicle(const WatchTrial& trial, std::size_t number) {
  return Trial(trial, number).run();
}

} // namespace coolband::bench
