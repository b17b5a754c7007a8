// SPDX-License-Identifier: Apache-2.0
// How `watch` does on the vehicles of the accuracy bench: false alerts on sound drives, delays on
// faulty ones, and whether the verdicts at the end are those of a finished log. Prints figures;
// asserts nothing.
//
//   watch_bench [VEHICLES [SEED [--details]]]
#include "bench/watch_trial.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <atomic>
#include <charconv>
#include <string_view>
#include <thread>

namespace {

using namespace coolband;
using namespace coolband::bench;

bool is_alert(const Said& said) { return said.standing.action >= Action::service; }
bool is_stop(const Said& said) { return said.standing.action == Action::stop; }

/// When such a thing was first said, at `from_s` or later.
template <class Is>
std::optional<double> first(const WatchedDrive& drive, Is is, double from_s = 0.0) {
  for (const Said& said : drive.said) {
    if (said.at_s >= from_s && is(said)) return said.at_s;
  }
  return std::nullopt;
}

double quantile_of(std::vector<double> values, double share) {
  if (values.empty()) return 0.0;
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
}

std::vector<WatchedDrive> run(const WatchTrial& trial, std::size_t vehicles) {
  std::vector<std::vector<WatchedDrive>> by_vehicle(vehicles);
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < vehicles; i = next++) by_vehicle[i] = watch_vehicle(trial, i);
  };
  std::vector<std::thread> threads;
  for (unsigned i = 1; i < std::max(1U, std::thread::hardware_concurrency()); ++i)
    threads.emplace_back(work);
  work();
  for (std::thread& thread : threads) thread.join();
  std::vector<WatchedDrive> drives;
  for (auto& some : by_vehicle) drives.insert(drives.end(), some.begin(), some.end());
  return drives;
}

void print_sound(const std::vector<WatchedDrive>& drives) {
  double hours = 0.0;
  std::size_t alerts = 0;
  std::size_t stops = 0;
  std::size_t lines = 0;
  std::size_t alerted = 0;
  std::size_t count = 0;
  for (const WatchedDrive& drive : drives) {
    if (!drive.sound) continue;
    ++count;
    hours += drive.hours;
    lines += drive.said.size();
    alerts +=
        static_cast<std::size_t>(std::count_if(drive.said.begin(), drive.said.end(), is_alert));
    stops += static_cast<std::size_t>(std::count_if(drive.said.begin(), drive.said.end(), is_stop));
    alerted += first(drive, is_alert) ? 1U : 0U;
  }
  fmt::print("sound: {} drives, {:.1f} h; {} alerts (service or stop) in {} drives: {:.1f} per "
             "100 h; {} of them stop; {} lines of any kind\n",
             count, hours, alerts, alerted, 100.0 * static_cast<double>(alerts) / hours, stops,
             lines);
}

void print_delay(const std::vector<WatchedDrive>& drives, std::string_view kind) {
  std::vector<double> delays;
  std::size_t missed = 0;
  std::size_t early = 0;
  for (const WatchedDrive& drive : drives) {
    if (drive.sound || !drive.visible_s || !drive.id.ends_with(kind)) continue;
    const auto at = first(drive, is_alert);
    if (!at)
      ++missed;
    else
      delays.push_back((*at - *drive.visible_s) / 60.0);
  }
  for (const double delay : delays) early += delay <= 10.0 ? 1U : 0U;
  fmt::print(
      "{}: {} visible, {} without an alert; delay median {:.1f}, 90 % {:.1f}, longest {:.1f} "
      "min; within 10 min: {}\n",
      kind, delays.size() + missed, missed, quantile_of(delays, 0.5), quantile_of(delays, 0.9),
      quantile_of(delays, 1.0), early);
}

void print_heat(const std::vector<WatchedDrive>& drives) {
  std::vector<double> leads;
  std::size_t late = 0;
  std::size_t never = 0;
  for (const WatchedDrive& drive : drives) {
    if (drive.sound || !drive.nearly_boils_s) continue;
    const auto at = first(drive, is_stop);
    if (!at)
      ++never;
    else if (*at > *drive.nearly_boils_s)
      ++late;
    else
      leads.push_back((*drive.nearly_boils_s - *at) / 60.0);
    if (!at || *at > *drive.nearly_boils_s)
      fmt::print("  late or never: {} nearly boils at {:.0f} s, told {}\n", drive.id,
                 *drive.nearly_boils_s, at ? fmt::format("at {:.0f} s", *at) : "never");
  }
  fmt::print(
      "overheating: {} drives spend 90 % of their margin; told before: {}, later: {}, never: "
      "{}; lead median {:.1f}, 10 % {:.1f}, shortest {:.1f} min\n",
      leads.size() + late + never, leads.size(), late, never, quantile_of(leads, 0.5),
      quantile_of(leads, 0.1), quantile_of(leads, 0.0));
}

void print_equality(const std::vector<WatchedDrive>& drives) {
  std::size_t trips = 0;
  std::size_t other = 0;
  double off = 0.0;
  double took_s = 0.0;
  double hours = 0.0;
  for (const WatchedDrive& drive : drives) {
    trips += drive.trips;
    other += drive.other_verdicts;
    off = std::max(off, drive.confidence_off);
    took_s += drive.took_s;
    hours += drive.hours;
  }
  fmt::print("at the end: {} of {} trips with another condition than the finished log; confidence "
             "off by {:.4f} at most\n",
             other, trips, off);
  fmt::print("cost: {:.2f} s of one core for an hour of log (1 Hz)\n", took_s / hours);
}

void print_details(const std::vector<WatchedDrive>& drives) {
  for (const WatchedDrive& drive : drives) {
    fmt::print("{} {:.0f} s{}{}:", drive.id, drive.hours * 3600.0,
               drive.visible_s ? fmt::format(", visible {:.0f}", *drive.visible_s) : "",
               drive.nearly_boils_s ? fmt::format(", nearly boils {:.0f}", *drive.nearly_boils_s)
                                    : "");
    for (const Said& said : drive.said)
      fmt::print(" {:.0f}={}/{}{}", said.at_s, name_of(said.standing.condition),
                 name_of(said.standing.action), said.by_alarm ? "!" : "");
    fmt::print("\n");
  }
}

std::size_t number(int argc, char** argv, int index, std::size_t otherwise) {
  if (argc <= index) return otherwise;
  const std::string_view text = argv[index];
  std::size_t value = otherwise;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

} // namespace

int main(int argc, char** argv) {
  const std::size_t vehicles = number(argc, argv, 1, 10);
  WatchTrial trial;
  trial.seed = number(argc, argv, 2, 1);
  trial.faults = {FaultKind::thermostat_stuck_open,
                  FaultKind::thermostat_stuck_closed,
                  FaultKind::fan_dead,
                  FaultKind::radiator_blocked_outside,
                  FaultKind::pump_slip,
                  FaultKind::coolant_low};
  trial.severe = {FaultKind::thermostat_stuck_closed,
                  FaultKind::radiator_blocked_outside,
                  FaultKind::pump_slip,
                  FaultKind::coolant_low,
                  FaultKind::hose_collapsed,
                  FaultKind::combustion_gas};
  const auto drives = run(trial, vehicles);
  fmt::print("{} vehicles, seed {}\n", vehicles, trial.seed);
  print_sound(drives);
  for (const FaultKind kind : trial.faults) print_delay(drives, name_of(kind));
  print_heat(drives);
  print_equality(drives);
  if (argc > 3) print_details(drives);
  return 0;
}
