// SPDX-License-Identifier: Apache-2.0
// Whether a drive met the conditions in which a fault showed.
#include "repair/situation.hpp"

#include "unit/repair/made_proofs.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

Trip drive_of(std::size_t blocks, const Stretch& stretch) {
  return MadeTrip().add(blocks, stretch).take();
}

bool able(const Trip& trip, const Situation& situation) {
  return !unable_to_show(trip, {situation});
}

Situation hot_situation() { return {Direction::above, 60.0, 20.0, 15.0, 600.0, 200.0}; }

} // namespace

TEST_CASE("a cold reading shows again in as cold, light and fast a drive, long enough") {
  const Stretch alike{80.0F, 40.0F, 70.0F, 15.0F};
  CHECK(able(drive_of(180, alike), cold_situation()));
  CHECK(able(drive_of(180, {80.0F, 20.0F, 110.0F, -3.0F}), cold_situation()));
  CHECK(able(drive_of(180, {80.0F, 20.0F, 110.0F, -30.0F}), cold_situation()));
  CHECK_FALSE(able(drive_of(60, alike), cold_situation()));
  CHECK_FALSE(able(drive_of(180, {80.0F, 40.0F, 70.0F, 26.0F}), cold_situation()));
  CHECK_FALSE(able(drive_of(180, {80.0F, 60.0F, 70.0F, 15.0F}), cold_situation()));
  CHECK_FALSE(able(drive_of(180, {80.0F, 40.0F, 40.0F, 15.0F}), cold_situation()));
}

TEST_CASE("a hot reading shows again in as warm, laden and slow a drive") {
  CHECK(able(drive_of(180, {80.0F, 50.0F, 10.0F, 18.0F}), hot_situation()));
  CHECK(
      able(drive_of(180, {80.0F, 50.0F, 10.0F, 38.0F}), hot_situation())); // the hotter the better
  CHECK_FALSE(able(drive_of(180, {80.0F, 50.0F, 10.0F, 12.0F}), hot_situation()));
  CHECK_FALSE(able(drive_of(180, {80.0F, 40.0F, 10.0F, 18.0F}), hot_situation()));
  CHECK_FALSE(able(drive_of(180, {80.0F, 50.0F, 60.0F, 18.0F}), hot_situation()));
}

TEST_CASE("it takes a stretch of minutes, not all of the drive") {
  MadeTrip trip;
  trip.add(150, {80.0F, 70.0F, 30.0F, 15.0F}).add(30, {80.0F, 40.0F, 70.0F, 15.0F});
  CHECK(able(trip.take(), cold_situation()));
  MadeTrip brief;
  brief.add(170, {80.0F, 70.0F, 30.0F, 15.0F}).add(10, {80.0F, 40.0F, 70.0F, 15.0F});
  const auto reason = unable_to_show(brief.take(), {cold_situation()});
  REQUIRE(reason);
  CHECK(*reason ==
        "never 5 min on end warm and at 55 % load or less and 50 km/h or more, as it takes");
}

TEST_CASE("what the log does not have cannot be compared, and that is the reason") {
  const Trip unloaded = drive_of(180, {80.0F, k_not_logged, 70.0F, 15.0F});
  CHECK(unable_to_show(unloaded, {cold_situation()}) == "the log has no load");
  const Trip airless = drive_of(180, {80.0F, 40.0F, 70.0F, k_not_logged});
  CHECK(unable_to_show(airless, {cold_situation()}) ==
        "the log does not tell the outside temperature (give --ambient)");
  Situation bare{Direction::below, {}, {}, {}, 600.0, 900.0};
  const auto reason = unable_to_show(unloaded, {bare});
  REQUIRE(reason);
  CHECK(reason->find("--ambient-before") != std::string::npos);
  bare.ambient_c = 15.0;
  CHECK(able(unloaded, bare));
  CHECK(able(airless, {Direction::erratic, {}, {}, {}, 600.0, 900.0}));
}

TEST_CASE("a warm-up at idle and red lights added up show no fault of a fan") {
  const Stretch stand{80.0F, 50.0F, 0.0F, 20.0F};
  const Stretch road{80.0F, 50.0F, 70.0F, 20.0F};
  Stretch cold_stand = stand;
  cold_stand.phase = Phase::warm_up;
  Situation idle = hot_situation();
  idle.length_s = 600.0;
  MadeTrip warmed_up_standing;
  warmed_up_standing.add(60, cold_stand).add(150, road);
  CHECK_FALSE(able(warmed_up_standing.take(), idle));
  MadeTrip lights;
  for (int i = 0; i < 30; ++i) lights.add(4, stand).add(6, road);
  CHECK_FALSE(able(lights.take(), idle));
  MadeTrip jam;
  jam.add(150, road).add(32, stand);
  CHECK(able(jam.take(), idle));
}

TEST_CASE("the further off it was, the other the weather in which it still shows") {
  Situation far = cold_situation(); // at 15 °C
  far.deviation_k = 25.0;
  far.half_width_k = 4.0;
  CHECK(able(drive_of(180, {80.0F, 40.0F, 70.0F, 29.0F}), far));
  CHECK_FALSE(able(drive_of(180, {80.0F, 40.0F, 70.0F, 31.0F}), far)); // 25 - 2.5 x 4 = 15 K
  far.deviation_k = 12.0; // 2 K by that rule: nobody drives more exactly than 5
  CHECK(able(drive_of(180, {80.0F, 40.0F, 70.0F, 20.0F}), far));
  CHECK_FALSE(able(drive_of(180, {80.0F, 40.0F, 70.0F, 21.0F}), far));
}

TEST_CASE("one of several situations is enough") {
  const Trip hot = drive_of(180, {80.0F, 55.0F, 10.0F, 25.0F});
  CHECK(unable_to_show(hot, {cold_situation()}));
  CHECK_FALSE(unable_to_show(hot, {cold_situation(), hot_situation()}));
}

TEST_CASE("a fault that came late asks for half an hour at most before it") {
  Situation late = cold_situation();
  late.begins_s = 7200.0;
  CHECK(able(drive_of(220, {80.0F, 40.0F, 70.0F, 15.0F}), late));
  CHECK_FALSE(able(drive_of(200, {80.0F, 40.0F, 70.0F, 15.0F}), late));
}

TEST_CASE("the situation of a drive is that of its gravest episode without an explanation") {
  TripFinding finding;
  finding.trip = drive_of(180, {});
  finding.judgement.condition = Condition::thermostat_stuck_open;
  Episode brief;
  brief.mean_deviation_c = -5.0;
  brief.logged_s = 100.0;
  Episode grave = brief;
  grave.start_s = 500.0;
  grave.logged_s = 600.0;
  grave.load_pct = 33.0;
  Episode explained = grave;
  explained.logged_s = 5000.0;
  explained.explained_by = Explanation::cold_weather;
  finding.judgement.episodes = {brief, grave, explained};
  const auto situation = situation_of(finding);
  REQUIRE(situation);
  CHECK(situation->begins_s == 500.0);
  CHECK(situation->load_pct == 33.0);
  finding.judgement.condition = Condition::normal;
  CHECK_FALSE(situation_of(finding));
}

TEST_CASE("a fault without an episode asks for weather and time alone") {
  TripFinding finding;
  finding.trip = drive_of(90, {});
  finding.judgement.condition = Condition::thermostat_stuck_open;
  const auto situation = situation_of(finding);
  REQUIRE(situation);
  CHECK(situation->direction == Direction::below);
  CHECK(situation->ambient_c == doctest::Approx(15.0));
  CHECK(telling_drive({*situation}) == "a drive of 30 min or more at 20 °C outside or colder");
}

TEST_CASE("a fault shows on its own side, and one that comes and goes anywhere") {
  CHECK(fits(cold_situation(), Condition::thermostat_stuck_open));
  CHECK_FALSE(fits(cold_situation(), Condition::fan_not_cooling));
  CHECK(fits(hot_situation(), Condition::fan_not_cooling));
  CHECK(fits(cold_situation(), Condition::thermostat_sticking));
  const Situation sticking = shown_by(Condition::thermostat_sticking, cold_situation());
  CHECK(sticking.direction == Direction::erratic);
  CHECK_FALSE(sticking.ambient_c);
  CHECK(telling_drive({sticking}) == "a drive of 30 min or more");
  CHECK(shown_by(Condition::thermostat_stuck_open, cold_situation()).ambient_c == 15.0);
}

TEST_CASE("a fan that is said to have failed shows at a stand, whatever else the drive showed") {
  TripFinding finding;
  finding.trip = drive_of(180, {80.0F, 40.0F, 70.0F, 15.0F});
  Episode cold;
  cold.direction = Direction::below;
  cold.mean_deviation_c = -20.0;
  cold.logged_s = 900.0;
  finding.judgement.episodes = {cold};
  const Situation fan = situation_for(Condition::fan_not_cooling, finding);
  CHECK(fan.direction == Direction::above);
  CHECK_FALSE(able(drive_of(180, {80.0F, 40.0F, 70.0F, 15.0F}), fan));
  CHECK(able(drive_of(200, {80.0F, 40.0F, 0.0F, 15.0F}), fan));
}

TEST_CASE("weather is compared as it is told, to the whole degree") {
  CHECK(able(drive_of(180, {80.0F, 40.0F, 70.0F, 20.4F}), cold_situation())); // 20 °C or less
  CHECK_FALSE(able(drive_of(180, {80.0F, 40.0F, 70.0F, 20.6F}), cold_situation()));
}
