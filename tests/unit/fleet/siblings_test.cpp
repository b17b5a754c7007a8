// SPDX-License-Identifier: Apache-2.0
#include "fleet/siblings.hpp"
#include "unit/fleet/made_trips.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

VehicleProfile profile(const std::string& fields) {
  return *parse_profile(R"({"schema":"coolband.vehicle/1","id":"V")" + fields + "}", "v.json");
}

SiblingLevels vehicle(const std::string& group, double level_c) {
  SiblingLevels levels{"V", group, {}};
  levels.levels[0] = level_c;
  return levels;
}

std::vector<SiblingLevels> alike(SplitMix& random, std::size_t count) {
  std::vector<SiblingLevels> vehicles;
  for (std::size_t i = 0; i < count; ++i)
    vehicles.push_back(vehicle("pump truck", 84.0 + 6.0 * (random.share() - 0.5)));
  return vehicles;
}

} // namespace

TEST_CASE("like vehicles are those of one engine, thermostat and cooling, or of one named group") {
  const auto a = profile(R"(,"engine":{"fuel":"diesel"},"thermostat":{"opens_c":82,"kind":"wax"})");
  const auto b = profile(R"(,"thermostat":{"kind":"wax","opens_c":82},"engine":{"fuel":"diesel"},
                            "odometer_km":12000,"label":"another")");
  const auto c = profile(R"(,"engine":{"fuel":"diesel"},"thermostat":{"opens_c":76,"kind":"wax"})");
  CHECK(sibling_group(a) == sibling_group(b));
  CHECK(sibling_group(a) != sibling_group(c));
  CHECK(sibling_group(profile(R"(,"group":"tankers","thermostat":{"opens_c":82})")) == "tankers");
  CHECK(sibling_group(profile(R"(,"odometer_km":12000)")).empty());
  CHECK(sibling_group({}).empty());
}

TEST_CASE("the level of a vehicle is the median of its latest trips that count") {
  auto trips = made_trips({});
  for (std::size_t i = 0; i < 70; ++i) trips[i].measures[0]->value = 20.0;
  for (std::size_t i = 71; i < 80; ++i) trips[i].unfit = "too short";
  for (std::size_t i = 71; i < 80; ++i) trips[i].measures[0]->value = 150.0;
  const auto levels = sibling_levels("V", "g", trips);
  REQUIRE(levels.levels[0]);
  CHECK(*levels.levels[0] == doctest::Approx(82.0).epsilon(0.01));
  CHECK_FALSE(levels.levels[3]);
  CHECK_FALSE(levels.levels[6]);
  CHECK_FALSE(sibling_levels("V", "g", std::span(trips).first(4)).levels[0]);
}

TEST_CASE("one that runs hot among four is found; two among nine do not hide each other") {
  std::vector<SiblingLevels> few{vehicle("g", 82.0), vehicle("g", 83.1), vehicle("g", 82.4),
                                 vehicle("g", 96.0)};
  auto among = among_siblings(few);
  CHECK(odd_siblings(among).found == std::vector<std::size_t>{3});
  CHECK(among[3].distances[0].others == 3);
  CHECK(among[3].distances[0].usual == doctest::Approx(82.4));
  CHECK(among[3].distances[0].distance == doctest::Approx(13.6));

  SplitMix random(5);
  auto many = alike(random, 9);
  many[2].levels[0] = 98.0;
  many[7].levels[0] = 99.0;
  CHECK(odd_siblings(among_siblings(many)).found == std::vector<std::size_t>{7, 2});
}

TEST_CASE("three vehicles, or those without a group, are not compared") {
  const std::vector<SiblingLevels> three{vehicle("g", 82.0), vehicle("g", 83.0),
                                         vehicle("g", 99.0)};
  for (const AmongSiblings& vehicle : among_siblings(three)) CHECK(std::isnan(vehicle.p));
  const std::vector<SiblingLevels> strangers(6, vehicle("", 82.0));
  for (const AmongSiblings& vehicle : among_siblings(strangers)) CHECK(std::isnan(vehicle.p));
  CHECK(odd_siblings(among_siblings(three)).found.empty());
}

TEST_CASE("vehicles very much alike do not accuse one within a thermostat's tolerance") {
  std::vector<SiblingLevels> twins(8, vehicle("g", 82.0));
  twins[3].levels[0] = 84.9;
  CHECK(among_siblings(twins)[3].p == 1.0);
}

TEST_CASE("groups of sound vehicles, as their parts may differ, seldom accuse one") {
  SplitMix random(77);
  int accused = 0;
  for (int group = 0; group < 400; ++group) {
    const std::size_t count = 4 + static_cast<std::size_t>(group % 9);
    accused += odd_siblings(among_siblings(alike(random, count))).found.empty() ? 0 : 1;
  }
  CHECK(accused <= 20); // at 5 % of the groups
}

TEST_CASE("the order of the vehicles does not matter") {
  SplitMix random(9);
  auto vehicles = alike(random, 7);
  vehicles[1].levels[0] = 97.0;
  const double p = among_siblings(vehicles)[1].p;
  std::swap(vehicles[1], vehicles[6]);
  std::swap(vehicles[0], vehicles[4]);
  CHECK(among_siblings(vehicles)[6].p == p);
}

TEST_CASE("a radiator that is blocked shows though the thermostats differ") {
  SplitMix random(21);
  std::vector<SiblingLevels> vehicles;
  for (int i = 0; i < 8; ++i) {
    SiblingLevels levels{"V", "g", {}};
    const double opens_c = 82.0 + 6.0 * (random.share() - 0.5);
    levels.levels[3] = opens_c;
    levels.levels[6] = (i == 2 ? 14.5 : 8.0) + random.share();
    levels.levels[1] = opens_c + *levels.levels[6];
    vehicles.push_back(levels);
  }
  const auto among = among_siblings(vehicles);
  CHECK(odd_siblings(among).found == std::vector<std::size_t>{2});
  CHECK(believed(among[2], among[2].p).front().likeness == Likeness::rise_at_load);
}

TEST_CASE("in a large group the odd one is found as in a small one") {
  SplitMix random(12);
  auto vehicles = alike(random, 500);
  vehicles[77].levels[0] = 99.0;
  CHECK(odd_siblings(among_siblings(vehicles)).found == std::vector<std::size_t>{77});
  CHECK(among_siblings(vehicles)[77].distances[0].others == 499);
}

TEST_CASE("words of a distance") {
  SiblingDistance distance;
  distance.likeness = Likeness::level_at_load;
  distance.others = 7;
  distance.usual = 94.1;
  distance.distance = 6.2;
  CHECK(words_of(distance) ==
        "the level at load lies 6.2 K above that of 7 like vehicles (94.1 °C)");
  distance.likeness = Likeness::warm_up;
  distance.usual = std::log(9.0);
  distance.distance = std::log(1.5);
  CHECK(words_of(distance) == "the warm-up lies 50 % above that of 7 like vehicles (9 min)");
}
