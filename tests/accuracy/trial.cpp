// SPDX-License-Identifier: Apache-2.0
// Simulates each drive once, and writes it in every set of columns.
#include "accuracy/trial.hpp"

#include "accuracy/judged.hpp"
#include "accuracy/write_case.hpp"

#include <fmt/core.h>

#include <utility>

namespace coolband::accuracy {
namespace {

constexpr std::size_t k_most_draws = 6;
// Numbers of the streams of random numbers: see `random_for`.
constexpr std::size_t k_learning_use = 1;
constexpr std::size_t k_healthy_use = 100;
constexpr std::size_t k_faulty_use = 1000;

std::vector<SimulatedRow> drive(const Scenario& scenario, std::vector<std::string>& problems) {
  std::vector<SimulatedRow> rows;
  rows.reserve(4000);
  const auto error = simulate(scenario, [&](const SimulatedRow& row) { rows.push_back(row); });
  if (error) problems.push_back(describe(*error));
  return rows;
}

/// Everything that judging one vehicle needs.
class Trial {
 public:
  Trial(const Settings& settings, std::size_t number)
      : settings_(settings), number_(number), vehicle_(draw_vehicle(settings.seed, number)) {
    result_.cases.resize(settings.sets.size());
  }

  VehicleResult run() {
    learn();
    for (std::size_t i = 0; i < k_healthy_outings; ++i) try_healthy(static_cast<Outing>(i));
    for (const FaultKind kind : settings_.faults) try_fault(kind);
    return std::move(result_);
  }

 private:
  void learn() {
    std::vector<std::vector<std::string>> logs(settings_.sets.size());
    for (std::size_t i = 0; i < k_learning_drives; ++i) {
      Random random = random_for(settings_.seed, number_, k_learning_use + i);
      learned_.push_back(learning_drive(vehicle_, i, random));
      const auto rows = drive(learned_.back(), result_.problems);
      for (std::size_t s = 0; s < logs.size(); ++s)
        logs[s].push_back(log_text(rows, as_learned(settings_.sets[s])));
    }
    for (std::size_t s = 0; s < logs.size(); ++s) {
      known_.push_back(
          learn_from(logs[s], settings_.sets[s], vehicle_.stamped_c, result_.problems));
    }
    if (wanted_here()) learning_logs_ = std::move(logs.front());
  }

  [[nodiscard]] bool wanted_here() const {
    return settings_.write_id.rfind(fmt::format("v{}-", number_), 0) == 0;
  }

  Case start_case(const std::string& name, const Scenario& scenario,
                  const std::vector<SimulatedRow>& rows) const {
    Case begun;
    begun.id = fmt::format("v{}-{}", number_, name);
    begun.vehicle_kind = vehicle_.kind;
    begun.ambient_c = scenario.weather.ambient_c;
    begun.hours = static_cast<double>(rows.size()) * scenario.logging.period_s / 3600.0;
    return begun;
  }

  void judge(const Case& begun, const Scenario& scenario, const std::vector<SimulatedRow>& rows) {
    for (std::size_t s = 0; s < settings_.sets.size(); ++s) {
      Case judged = begun;
      const std::string log = log_text(rows, settings_.sets[s]);
      judge_log(log, known_[s], judged, result_.problems);
      if (s == 0 && begun.id == settings_.write_id) write(scenario, log);
      result_.cases[s].push_back(std::move(judged));
    }
  }

  void write(const Scenario& scenario, const std::string& log) {
    const auto error = write_case(settings_.write_to, {learned_, learning_logs_, scenario, log});
    if (error) result_.problems.push_back(describe(*error));
    result_.written = !error;
  }

  void try_healthy(Outing outing) {
    Random random =
        random_for(settings_.seed, number_, k_healthy_use + static_cast<std::size_t>(outing));
    for (std::size_t draw = 0; draw < k_most_draws; ++draw) {
      const Scenario scenario = healthy_drive(vehicle_, outing, random);
      const auto rows = drive(scenario, result_.problems);
      if (rows.empty()) return;
      if (rows.back().truth.boiled_l > 0.0) { // a report of overheating would be right
        ++result_.boiled;
        continue;
      }
      Case begun = start_case(fmt::format("healthy-{}", name_of(outing)), scenario, rows);
      begun.outing = outing;
      judge(begun, scenario, rows);
      return;
    }
  }

  /// Draws until the fault can be seen; the first draw in which it cannot is judged, too.
  void try_fault(FaultKind kind) {
    const auto index = static_cast<std::size_t>(kind);
    Random random = random_for(settings_.seed, number_, k_faulty_use + index);
    Draws& draws = result_.draws[index];
    for (std::size_t draw = 0; draw < k_most_draws && draws.observable == 0; ++draw) {
      const FaultyDrive planned = faulty_drive(vehicle_, kind, draw > 0, random);
      if (judge_faulty(planned, draws.drawn == 0)) ++draws.observable;
      ++draws.drawn;
    }
  }

  /// Whether the fault can be seen.
  bool judge_faulty(const FaultyDrive& planned, bool even_unseen) {
    Scenario sound = planned.scenario;
    const FaultPlan plan = planned.scenario.faults.front();
    sound.faults.clear();
    const auto rows = drive(planned.scenario, result_.problems);
    const Label label = label_of(plan.kind, rows, drive(sound, result_.problems));
    if (!label.observable && !even_unseen) return false;
    Case begun =
        start_case(fmt::format("{}{}", label.observable ? "" : "unseen-", name_of(plan.kind)),
                   planned.scenario, rows);
    begun.fault = plan.kind;
    begun.plan = plan;
    begun.outing = planned.outing;
    begun.label = label;
    begun.right = right_names(plan, label);
    judge(begun, planned.scenario, rows);
    return label.observable;
  }

  const Settings& settings_;
  std::size_t number_;
  DrawnVehicle vehicle_;
  std::vector<Scenario> learned_;
  std::vector<std::string> learning_logs_; ///< of the first set, where a case is to be written
  std::vector<Known> known_;
  VehicleResult result_;
};

} // namespace

VehicleResult run_vehicle(const Settings& settings, std::size_t number) {
  return Trial(settings, number).run();
}

} // namespace coolband::accuracy
