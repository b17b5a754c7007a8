// SPDX-License-Identifier: Apache-2.0
// How many seconds of driving are simulated in one second of wall time: the rows alone, and written
// as CSV into memory; sound, and with a fault. Median and range of five.
#include "circuit/scenario.hpp"
#include "report/simulated_log.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstddef>
#include <string>

using namespace coolband;

namespace {

constexpr double k_drive_s = 1e6;
constexpr int k_runs = 5;
constexpr std::size_t k_piece_bytes = std::size_t{256} << 10U; // as the program writes

/// Nine kinds of stretch in turn until `k_drive_s` are full.
Scenario scenario() {
  constexpr std::array<RouteKind, 9> k_kinds{RouteKind::idle,    RouteKind::town,  RouteKind::road,
                                             RouteKind::highway, RouteKind::climb, RouteKind::track,
                                             RouteKind::descent, RouteKind::sand,  RouteKind::stop};
  constexpr double k_stretches = 1000.0;
  Scenario drive;
  for (std::size_t i = 0; i < static_cast<std::size_t>(k_stretches); ++i) {
    RoutePhase phase;
    phase.kind = k_kinds[i % k_kinds.size()];
    phase.minutes = k_drive_s / 60.0 / k_stretches;
    drive.route.push_back(phase);
  }
  return drive;
}

struct Outcome {
  std::size_t rows = 0;
  std::size_t bytes = 0;
  double hottest_c = -100.0; ///< so that nothing can be left out
};

Outcome rows_alone(const Scenario& drive) {
  Outcome outcome;
  (void)simulate(drive, [&](const SimulatedRow& row) {
    ++outcome.rows;
    outcome.hottest_c = std::max(outcome.hottest_c, row.truth.coolant_c);
  });
  return outcome;
}

Outcome as_csv(const Scenario& drive, bool truth) {
  LogShape shape;
  for (const Role role : simulated_roles()) {
    if (role != Role::fan) shape.columns.push_back({role, metric_unit(role)});
  }
  shape.truth = truth;
  shape.logging = drive.logging;
  SimulatedLog log(shape);
  Outcome outcome;
  std::string piece;
  log.begin(piece);
  (void)simulate(drive, [&](const SimulatedRow& row) {
    log.add(row, piece);
    ++outcome.rows;
    outcome.hottest_c = std::max(outcome.hottest_c, row.truth.coolant_c);
    if (piece.size() < k_piece_bytes) return;
    outcome.bytes += piece.size();
    piece.clear();
  });
  log.end(piece);
  outcome.bytes += piece.size();
  return outcome;
}

template <class Run>
void time_of(const char* what, Run run) {
  std::array<double, k_runs> speeds{};
  Outcome outcome;
  for (double& speed : speeds) {
    const auto begin = std::chrono::steady_clock::now();
    outcome = run();
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - begin;
    speed = k_drive_s / taken.count() / 1e6;
  }
  std::sort(speeds.begin(), speeds.end());
  fmt::print(
      "{:<36} {:5.2f} million s/s ({:.2f} to {:.2f}); {} rows, {:.1f} MB, at most {:.1f} °C\n",
      what, speeds[k_runs / 2], speeds.front(), speeds.back(), outcome.rows,
      static_cast<double>(outcome.bytes) / 1e6, outcome.hottest_c);
}

} // namespace

int main() {
  const Scenario sound = scenario();
  Scenario low = sound;
  low.faults.push_back({FaultKind::coolant_low, 1.0});
  time_of("sound, rows alone", [&] { return rows_alone(sound); });
  time_of("sound, CSV", [&] { return as_csv(sound, false); });
  time_of("sound, CSV with what is true", [&] { return as_csv(sound, true); });
  time_of("coolant-low, rows alone", [&] { return rows_alone(low); });
  time_of("coolant-low, CSV", [&] { return as_csv(low, false); });
  time_of("coolant-low, CSV with what is true", [&] { return as_csv(low, true); });
  return 0;
}
