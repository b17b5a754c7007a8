// SPDX-License-Identifier: Apache-2.0
// The ranking and the counts, in whatever order records come.
#include "fleet/fleet_summary.hpp"

#include "unit/fleet/made_records.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coolband;
using namespace coolband::testing;

namespace {

std::vector<VehicleRecord> some_vehicles() {
  std::vector<VehicleRecord> vehicles;
  vehicles.push_back(made_vehicle("fine", {made_trip(Action::none, 0.95)}));
  vehicles.push_back(made_vehicle("unsure", {made_trip(Action::service, 0.6)}));
  vehicles.push_back(made_vehicle("sure", {made_trip(Action::service, 0.9)}));
  auto hot = made_trip(Action::service, 0.6);
  hot.boiling_margin_c = 4.0;
  vehicles.push_back(made_vehicle("hot", {hot}));
  vehicles.push_back(made_vehicle("stop", {made_trip(Action::stop, 0.3)}));
  vehicles.push_back(made_vehicle("mute", {}));
  vehicles.back().logs.push_back(
      {"mute/x.csv", {}, false, "", 0, {}, {{"mute/x.csv", 0, 0, "no log", ""}}});
  vehicles.push_back(made_vehicle("a folder of something else", {}));
  vehicles.push_back(made_vehicle("also unsure", {made_trip(Action::service, 0.6)}));
  return vehicles;
}

std::vector<std::string> ranking(const std::vector<VehicleRecord>& vehicles) {
  FleetSummary summary(0);
  for (const VehicleRecord& vehicle : vehicles) REQUIRE_FALSE(summary.add(vehicle, 0));
  std::vector<std::string> ids;
  REQUIRE_FALSE(summary.for_each_ranked([&](const VehicleRecord& vehicle) {
    ids.push_back(vehicle.id);
    return true;
  }));
  return ids;
}

} // namespace

TEST_CASE("ranking: action, confidence, nearness to boiling, id; the mute last; order-free") {
  auto vehicles = some_vehicles();
  const std::vector<std::string> expected{"stop",   "sure", "hot", "also unsure",
                                          "unsure", "fine", "mute"};
  CHECK(ranking(vehicles) == expected);
  for (int i = 0; i < 20; ++i) {
    std::rotate(vehicles.begin(), vehicles.begin() + 3, vehicles.end());
    std::swap(vehicles[0], vehicles[4]);
    CHECK(ranking(vehicles) == expected);
  }
}

TEST_CASE("ranking: records beyond what memory holds come back whole") {
  FleetSummary summary(0);
  for (int i = 0; i < 3000; ++i)
    REQUIRE_FALSE(summary.add(
        made_vehicle("v" + std::to_string(i), {made_trip(Action::none, 0.001 * (i % 1000))}), 1));
  std::size_t count = 0;
  double last = 1.0;
  REQUIRE_FALSE(summary.for_each_ranked([&](const VehicleRecord& vehicle) {
    CHECK(vehicle.state.confidence <= last);
    last = vehicle.state.confidence;
    ++count;
    return true;
  }));
  CHECK(count == 3000);
  CHECK(summary.counts().judged == 3000);
}

TEST_CASE("counts: of parts they add up to those of the whole") {
  const auto vehicles = some_vehicles();
  FleetSummary whole(2);
  FleetSummary parts[2]{FleetSummary(2), FleetSummary(2)};
  for (std::size_t i = 0; i < vehicles.size(); ++i) {
    REQUIRE_FALSE(whole.add(vehicles[i], i));
    REQUIRE_FALSE(parts[i % 2].add(vehicles[i], i));
  }
  FleetCounts sum = parts[1].counts();
  sum.add(parts[0].counts());
  CHECK(sum.vehicles == whole.counts().vehicles);
  CHECK(sum.by_action == whole.counts().by_action);
  CHECK(sum.judged == whole.counts().judged);
  CHECK(sum.not_judged == 1);
  CHECK(whole.counts().by_action == std::array<std::size_t, 4>{1, 0, 4, 1});
}

TEST_CASE("change: only in the present run, by action first") {
  auto vehicle = made_vehicle("a", {made_trip(Action::service, 0.9)});
  vehicle.run = 4;
  CHECK(change_of(vehicle, 0) == Change::none);
  CHECK(change_of(vehicle, 4) == Change::first_seen);
  vehicle.before = vehicle.state;
  CHECK(change_of(vehicle, 4) == Change::none);
  CHECK(change_of(vehicle, 5) == Change::none);
  vehicle.before->action = Action::none;
  CHECK(change_of(vehicle, 4) == Change::worse);
  CHECK(change_of(vehicle, 5) == Change::none);
  vehicle.before->action = Action::stop;
  CHECK(change_of(vehicle, 4) == Change::better);
  vehicle.before = vehicle.state;
  vehicle.before->condition = Condition::sensor_fault;
  CHECK(change_of(vehicle, 4) == Change::other);
}
