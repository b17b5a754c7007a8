// SPDX-License-Identifier: Apache-2.0
// How often the faulty one among like vehicles is found when its band was
// learned with the fault, and how often a sound one is listed: a table, no
// test.
//
//   sibling_bench GROUPS SEED [SIZE]
//
// GROUPS for each fault, each of SIZE like vehicles, one of them faulty from
// the beginning; all of them are one fleet.
#include "bench/trend_fleet.hpp"
#include "fleet/siblings.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <cstdlib>
#include <map>
#include <string>
#include <thread>
#include <vector>

#include <fmt/core.h>

namespace {

using namespace coolband;
using namespace coolband::testing;

constexpr std::array k_faults{FaultKind::radiator_blocked_inside, FaultKind::pump_slip,
                              FaultKind::thermostat_late, FaultKind::thermostat_slow,
                              FaultKind::thermostat_stuck_open};

std::vector<SiblingPlan> plans_of(std::size_t groups, std::size_t size, std::uint64_t seed) {
  std::vector<SiblingPlan> plans;
  for (std::size_t group = 0; group < groups * k_faults.size(); ++group) {
    for (std::size_t number = 0; number < size; ++number) {
      SiblingPlan plan{seed, group, number, {}};
      if (number == 0) plan.fault = k_faults.at(group % k_faults.size());
      plans.push_back(plan);
    }
  }
  return plans;
}

std::vector<SiblingLevels> levels_of(const std::vector<SiblingPlan>& plans) {
  std::vector<SiblingLevels> levels(plans.size());
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < plans.size(); i = next++) {
      levels[i] = sibling_levels(std::to_string(i), std::to_string(plans[i].group),
                                 drive_sibling(plans[i]));
    }
  };
  std::vector<std::jthread> threads;
  for (unsigned i = 0; i < std::max(1U, std::thread::hardware_concurrency()); ++i)
    threads.emplace_back(work);
  threads.clear();
  return levels;
}

struct Row {
  std::size_t vehicles = 0;
  std::size_t found = 0;
  std::map<std::string_view, std::size_t> by;
};

} // namespace

int main(int count, char** arguments) {
  const auto groups = static_cast<std::size_t>(count > 1 ? std::atoi(arguments[1]) : 2);
  const auto seed = static_cast<std::uint64_t>(count > 2 ? std::atoi(arguments[2]) : 1);
  const auto size = static_cast<std::size_t>(count > 3 ? std::atoi(arguments[3]) : 6);
  const auto plans = plans_of(groups, size, seed);
  const auto among = among_siblings(levels_of(plans));
  const FleetFinding finding = odd_siblings(among);
  std::map<std::string_view, Row> rows;
  for (std::size_t i = 0; i < plans.size(); ++i) {
    Row& row = rows[plans[i].fault ? name_of(*plans[i].fault) : "sound"];
    ++row.vehicles;
    if (std::find(finding.found.begin(), finding.found.end(), i) == finding.found.end()) continue;
    ++row.found;
    for (const auto& distance : believed(among[i], finding.level))
      ++row.by[name_of(distance.likeness)];
  }
  fmt::print("{} vehicles in groups of {}, seed {}\n| | listed | by |\n", plans.size(), size, seed);
  for (const auto& [name, row] : rows) {
    fmt::print("| {} | {} of {} |", name, row.found, row.vehicles);
    for (const auto& [measure, number] : row.by) fmt::print(" {} {},", measure, number);
    fmt::print("\n");
  }
  return 0;
}
