// SPDX-License-Identifier: Apache-2.0
// Where an episode begins and ends, which are too short, which are one.
#include "diagnose/episodes.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

std::vector<Episode> episodes_of(const MadeTrip& made, const NormalBand& band = made_band()) {
  const Trip trip = made.take();
  const JudgeOptions options;
  return find_episodes(trip, band, deviations_from(trip, band, options), options);
}

} // namespace

TEST_CASE("a steady trip inside the band has no episode") {
  CHECK(episodes_of(MadeTrip{}.add(180, {82.0F})).empty());
}

TEST_CASE("an excursion is cut where it begins and ends, with its size and conditions") {
  const auto episodes =
      episodes_of(MadeTrip{}.add(60, {}).add(30, {70.0F, 50.0F, 90.0F, 10.0F}).add(60, {}));
  REQUIRE(episodes.size() == 1);
  const Episode& e = episodes.front();
  CHECK(e.direction == Direction::below);
  CHECK(e.start_s == 600.0);
  CHECK(e.end_s == 899.0);
  CHECK(e.first_row == 600);
  CHECK(e.last_row == 899);
  CHECK(e.extreme_c == 70.0);
  CHECK(e.worst_deviation_c == doctest::Approx(-10.0));
  CHECK(e.mean_deviation_c == doctest::Approx(-10.0));
  CHECK(e.threshold_c == doctest::Approx(3.5)); // 3 K of tolerance and half a step of the reading
  CHECK(*e.load_pct == doctest::Approx(50.0));
  CHECK(*e.ambient_c == doctest::Approx(10.0));
  CHECK(*e.speed_kmh == doctest::Approx(90.0));
}

TEST_CASE("nothing is lost at the edges of the trip") {
  const auto episodes = episodes_of(MadeTrip{}.add(30, {70.0F}).add(60, {}).add(30, {90.0F}));
  REQUIRE(episodes.size() == 2);
  CHECK(episodes[0].start_s == 0.0);
  CHECK(episodes[0].direction == Direction::below);
  CHECK(episodes[1].end_s == 1199.0);
  CHECK(episodes[1].direction == Direction::above);
}

TEST_CASE("a whole trip outside is one episode") {
  const auto episodes = episodes_of(MadeTrip{}.add(180, {70.0F}));
  REQUIRE(episodes.size() == 1);
  CHECK(episodes[0].start_s == 0.0);
  CHECK(episodes[0].end_s == 1799.0);
}

TEST_CASE("an episode ends only where the deviation falls back within half of its threshold") {
  // 3 K is inside the band again, but not within half of 3.5 K; 1 K is.
  CHECK(episodes_of(MadeTrip{}.add(60, {}).add(20, {74.0F}).add(20, {77.0F}).add(60, {}))
            .front()
            .end_s == 999.0);
  CHECK(episodes_of(MadeTrip{}.add(60, {}).add(20, {74.0F}).add(20, {79.0F}).add(60, {}))
            .front()
            .end_s == 799.0);
}

TEST_CASE("within the thermostat's own tolerance nothing is an episode, however narrow the band") {
  CHECK(episodes_of(MadeTrip{}.add(180, {83.0F}), made_band(0.5)).empty());
  CHECK(episodes_of(MadeTrip{}.add(180, {84.0F}), made_band(0.5)).size() == 1);
}

TEST_CASE("a wide band has a wide threshold") {
  CHECK(episodes_of(MadeTrip{}.add(180, {74.0F}), made_band(7.0)).empty());
}

TEST_CASE("too short an excursion is none; a larger one needs less time") {
  const auto count = [](std::size_t blocks, float coolant) {
    return episodes_of(MadeTrip{}.add(60, {}).add(blocks, {coolant}).add(60, {})).size();
  };
  CHECK(count(10, 76.0F) == 0); // 4 K for 100 s, one look being 120 s
  CHECK(count(13, 76.0F) == 1);
  CHECK(count(5, 70.0F) == 1); // 10 K for 50 s
  CHECK(count(2, 70.0F) == 0);
}

TEST_CASE("two excursions on one side with a short return between them are one") {
  const auto with_return = [](std::size_t blocks) {
    return episodes_of(
        MadeTrip{}.add(60, {}).add(20, {70.0F}).add(blocks, {}).add(20, {70.0F}).add(60, {}));
  };
  CHECK(with_return(3).size() == 1);
  CHECK(with_return(3).front().end_s == 1029.0);
  CHECK(with_return(12).size() == 2);
}

TEST_CASE("a swing from one side to the other is two episodes") {
  const auto episodes = episodes_of(MadeTrip{}.add(60, {}).add(20, {70.0F}).add(20, {90.0F}));
  REQUIRE(episodes.size() == 2);
  CHECK(episodes[0].direction == Direction::below);
  CHECK(episodes[1].direction == Direction::above);
}

TEST_CASE("warming up and standing are not judged") {
  CHECK(episodes_of(MadeTrip{}
                        .add(60, {40.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up})
                        .add(60, {})
                        .add(60, {60.0F, 0.0F, 0.0F, 15.0F, Phase::off}))
            .empty());
}

TEST_CASE("the least length is one independent look, within bounds") {
  NormalBand band = made_band();
  CHECK(least_episode_s(band, {}) == 120.0);
  band.correlation_s = 5.0;
  CHECK(least_episode_s(band, {}) == 60.0);
  band.correlation_s = 5000.0;
  CHECK(least_episode_s(band, {}) == 300.0);
}

TEST_CASE("sensor events near each other are one erratic episode") {
  Trip trip = MadeTrip{}.add(180, {}).take();
  trip.sensor_events = {{Quality::off_scale, 100, 104, 80.0, -40.0},
                        {Quality::jump, 200, 201, 80.0, 110.0},
                        {Quality::off_scale, 1000, 1003, 80.0, -40.0}};
  const auto episodes = erratic_episodes(recording_for(trip), trip, made_band());
  REQUIRE(episodes.size() == 2);
  CHECK(episodes[0].direction == Direction::erratic);
  CHECK(episodes[0].start_s == 100.0);
  CHECK(episodes[0].end_s == 201.0);
  CHECK(episodes[0].extreme_c == -40.0);
  CHECK(episodes[1].first_row == 1000);
}
