// SPDX-License-Identifier: Apache-2.0
// How often the proof of a repair is right: vehicles drawn at random in the tests' own simulator,
// three drives with the fault, then some after a repair that worked or did not. A table, no test.
#include "coolband/numeric/order_statistics.hpp"
#include "support/repair_drives.hpp"
#include "unit/segment/simulated_drives.hpp"

#include <array>
#include <cstdlib>
#include <map>

#include <fmt/core.h>

namespace {

using namespace coolband;
using namespace coolband::testing;

struct Tally {
  std::array<int, 3> states{}; ///< verified, not-yet, not-verified
  std::map<std::string, int> why;
  std::vector<double> warm_up_ratios;
  std::vector<double> paces;
  std::vector<double> traces; ///< nats

  void add(const Verification& v) {
    ++states.at(static_cast<std::size_t>(v.state));
    if (v.warm_up.ratio) warm_up_ratios.push_back(*v.warm_up.ratio);
    if (v.warm_up.pace) paces.push_back(*v.warm_up.pace);
    if (v.fault.trace) traces.push_back(*v.fault.trace);
    for (const CheckLine& check : v.checks) {
      if (check.state && *check.state != VerifyState::verified)
        ++why[fmt::format("{} {}", check.name, name_of(*check.state))];
    }
  }
};

struct Repair {
  const char* name;
  std::size_t drives;
  double shift_k; ///< of the rating of the thermostat fitted
  FaultPlan fault;
  bool rating = false; ///< what is stamped on it is told
};

const Repair k_repairs[] = {
    {"cured, 2 drives", 2, 0.0, {}},
    {"cured, 4 drives", 4, 0.0, {}},
    {"cured, 8 drives", 8, 0.0, {}},
    {"other thermostat +6 K, 4 drives", 4, 6.0, {}},
    {"  the same, rating told", 4, 6.0, {}, true},
    {"other thermostat -6 K, rating told", 4, -6.0, {}, true},
    {"still hangs open, 4 drives", 4, 0.0, {Fault::stuck_open}},
    {"hangs open half as far, 4 drives", 4, 0.0, {Fault::stuck_open, 0.5}},
    {"now hangs shut, 4 drives", 4, 0.0, {Fault::stuck_closed}},
    {"  the same, rating told", 4, 0.0, {Fault::stuck_closed}, true},
    {"now sticks, 4 drives", 4, 0.0, {Fault::sticking}},
    {"air left in it, 4 drives", 4, 0.0, {Fault::low_coolant}},
    {"sensor's lead 50 ohm, 4 drives", 4, 0.0, {Fault::sensor_series_resistance, 0.5}},
};

} // namespace

int main(int count, char** arguments) {
  const int vehicles = count > 1 ? std::atoi(arguments[1]) : 20;
  const auto seed = static_cast<std::uint64_t>(count > 2 ? std::atoi(arguments[2]) : 1);
  Random random(seed);
  std::array<Tally, std::size(k_repairs)> tallies;
  int used = 0;
  for (int i = 0; i < vehicles; ++i) {
    const Vehicle vehicle = drawn_vehicle(random);
    const std::uint64_t drives = seed * 1'000'000 + static_cast<std::uint64_t>(i) * 1000;
    auto band = learned_band(vehicle, drives);
    if (!band) continue;
    band->opens_c = vehicle.opens_c; // as a profile tells it
    ++used;
    const Side before{vehicle, {Fault::stuck_open}, 3, drives + 100, 10.0};
    for (std::size_t r = 0; r < std::size(k_repairs); ++r) {
      const Repair& repair = k_repairs[r];
      Side after{vehicle, repair.fault, repair.drives, drives + 200 + 20 * r, 10.0};
      after.vehicle.opens_c += repair.shift_k;
      VerifyOptions options;
      if (repair.rating) options.rating_c = after.vehicle.opens_c;
      tallies[r].add(proven(*band, before, after, options));
    }
  }
  fmt::print("{} vehicles of {}, seed {}\n{:<34}{:>9}{:>9}{:>13}\n", used, vehicles, seed, "repair",
             "verified", "not-yet", "not-verified");
  for (std::size_t r = 0; r < std::size(k_repairs); ++r) {
    const auto& states = tallies[r].states;
    fmt::print("{:<34}{:>9}{:>9}{:>13}  ", k_repairs[r].name, states[0], states[1], states[2]);
    if (auto ratios = tallies[r].warm_up_ratios; !ratios.empty())
      fmt::print(" warm-up {:.2f} to {:.2f} times the usual;", quantile(ratios, 0.1),
                 quantile(ratios, 0.9));
    if (auto paces = tallies[r].paces; !paces.empty())
      fmt::print(" pace {:.2f} to {:.2f};", quantile(paces, 0.1), quantile(paces, 0.9));
    if (auto traces = tallies[r].traces; !traces.empty())
      fmt::print(" trace {:.1f} to {:.1f} nats in {};", quantile(traces, 0.1),
                 quantile(traces, 0.9), tallies[r].traces.size());
    for (const auto& [what, number] : tallies[r].why) fmt::print(" {} {};", what, number);
    fmt::print("\n");
  }
  return 0;
}
