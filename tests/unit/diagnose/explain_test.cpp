// SPDX-License-Identifier: Apache-2.0
// Each explanation with the case beside it that must not pass for one.
#include "diagnose/explain.hpp"

#include "diagnose/episodes.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coolband;
using namespace coolband::testing;

namespace {

constexpr std::size_t k_half_hour = 180;

/// The explanation of the only episode of a trip.
Explanation only(const Trip& trip, const NormalBand& band = made_band()) {
  const JudgeOptions options;
  const auto episodes = find_episodes(trip, band, deviations_from(trip, band, options), options);
  REQUIRE(episodes.size() == 1);
  return explain(episodes.front(), trip, band);
}

Explanation only(const MadeTrip& made, const NormalBand& band = made_band()) {
  return only(made.take(), band);
}

Explanation during(const Stretch& stretch, std::size_t blocks = 60) {
  return only(MadeTrip{}.add(k_half_hour, {}).add(blocks, stretch).add(30, {}));
}

Explanation find_and_explain(const Trip& trip) {
  const NormalBand band = made_band();
  const auto episodes = find_episodes(trip, band, deviations_from(trip, band, {}), {});
  REQUIRE_FALSE(episodes.empty());
  return explain(episodes.front(), trip, band);
}

} // namespace

TEST_CASE("heat under heavy load within the thermostat's span is heavy load") {
  CHECK(during({90.0F, 75.0F}) == Explanation::heavy_load);
  CHECK(during({90.0F, 40.0F}) == Explanation::none); // the same at ordinary load
  CHECK(during({97.0F, 75.0F}) == Explanation::none); // more than any span, 15 K
}

TEST_CASE("where the band knows such loads its correction has spoken, and less is allowed") {
  NormalBand band = made_band();
  band.load_seen_pct = Range{10.0, 90.0};
  const auto at = [&](float coolant) {
    return only(MadeTrip{}.add(k_half_hour, {}).add(60, {coolant, 75.0F}), band);
  };
  CHECK(at(87.0F) == Explanation::heavy_load);
  CHECK(at(90.0F) == Explanation::none);
}

TEST_CASE("a steep road is heavy load where no load was logged") {
  Stretch climb{90.0F, k_not_logged, 50.0F};
  climb.altitude_rise_m = 10.0F; // 139 m of road a block: 7 %
  CHECK(during(climb) == Explanation::heavy_load);
  climb.altitude_rise_m = 1.0F;
  CHECK(during(climb) == Explanation::none);
}

TEST_CASE("a crawl up the same slope is none") {
  Stretch crawl{90.0F, 30.0F, 10.0F};
  crawl.altitude_rise_m = 1.9F; // 28 m of road a block: 7 %, but 0.19 m/s
  CHECK(during(crawl, 120) == Explanation::none);
  crawl.speed = 18.0F;
  crawl.altitude_rise_m = 3.5F;
  CHECK(during(crawl, 120) == Explanation::heavy_load);
}

TEST_CASE("what fast running stored shows once the air stops, for ten minutes") {
  const auto after = [](float speed, std::size_t blocks) {
    return only(MadeTrip{}
                    .add(k_half_hour, {80.0F, 40.0F, speed})
                    .add(blocks, {90.0F, 20.0F, 0.0F})
                    .add(30, {}));
  };
  CHECK(after(110.0F, 40) == Explanation::heavy_load);
  CHECK(after(50.0F, 40) != Explanation::heavy_load);
}

TEST_CASE("heat on a hot day is hot weather, within bounds") {
  CHECK(during({90.0F, 35.0F, 60.0F, 38.0F}) == Explanation::hot_weather);
  CHECK(during({90.0F, 35.0F, 60.0F, 30.0F}) == Explanation::none);
  CHECK(during({97.0F, 35.0F, 60.0F, 38.0F}) == Explanation::none);
}

TEST_CASE("warmth when standing is normal until the fan should have ended it") {
  CHECK(during({90.0F, 20.0F, 5.0F}, 60) == Explanation::slow_running);
  CHECK(during({90.0F, 20.0F, 5.0F}, 120) == Explanation::none); // 20 min
  CHECK(during({97.0F, 20.0F, 5.0F}, 60) == Explanation::none);
  CHECK(during({90.0F, 20.0F, 60.0F}, 60) == Explanation::none);
}

TEST_CASE("cold in deep frost is the weather; in mild cold only with much idling") {
  CHECK(during({70.0F, 35.0F, 60.0F, -12.0F}) == Explanation::cold_weather);
  CHECK(during({70.0F, 20.0F, 0.0F, 2.0F}) == Explanation::cold_weather);
  CHECK(during({70.0F, 35.0F, 60.0F, 2.0F}) == Explanation::none);
  CHECK(during({70.0F, 35.0F, 60.0F, 15.0F}) == Explanation::none);
}

TEST_CASE("cold while it stands, and then alone, is put down to that in any air") {
  CHECK(during({70.0F, 20.0F, 0.0F, 15.0F}) == Explanation::slow_running);
  NormalBand unlearned = made_band();
  unlearned.origin = BandOrigin::profile;
  CHECK(only(MadeTrip{}.add(k_half_hour, {}).add(60, {70.0F, 20.0F, 0.0F, 15.0F}).add(30, {}),
             unlearned) == Explanation::none);
}

TEST_CASE("a warm-up that is long on the way is slow running where it may have hardly worked") {
  const auto of = [](float load_pct, float speed_kmh, float after_c) {
    const Stretch on_the_way{62.0F, load_pct, speed_kmh, 15.0F};
    Trip trip = MadeTrip{}
                    .add(60, on_the_way)
                    .go_to(80.0F, 0.2F, on_the_way)
                    .add(60, {after_c, load_pct, 60.0F, 15.0F})
                    .take();
    trip.warm_ups.push_back({0.0, 15.0, {}, {}, {}, {}, {}});
    return find_and_explain(trip);
  };
  CHECK(of(k_not_logged, 30.0F, 80.0F) == Explanation::slow_running);
  CHECK(of(20.0F, 30.0F, 80.0F) == Explanation::none);        // the load tells that it worked
  CHECK(of(k_not_logged, 30.0F, 68.0F) == Explanation::none); // it did not stay at its level
  CHECK(of(20.0F, 2.0F, 80.0F) == Explanation::slow_running); // it idled
}

TEST_CASE("nothing that idles falls as with the radiator in the circuit, on its way up either") {
  const Stretch alone{60.0F, k_not_logged, k_not_logged, k_not_logged};
  const auto of = [&](float down_k) {
    Trip trip = MadeTrip{}
                    .add(40, alone)
                    .go_to(50.0F, down_k, alone)
                    .go_to(80.0F, 0.2F, alone)
                    .add(60, {80.0F, k_not_logged, k_not_logged, k_not_logged})
                    .take();
    trip.warm_ups.push_back({0.0, 15.0, {}, {}, {}, {}, {}});
    return find_and_explain(trip);
  };
  CHECK(of(0.4F) == Explanation::slow_running); // 2.4 K/min
  CHECK(of(0.7F) == Explanation::none);
}

TEST_CASE("switched off it soaks, then cools without a pause: a stop, where nothing else tells") {
  const auto of = [](float per_block_k, float flat_blocks) {
    const Stretch alone{80.0F, k_not_logged, k_not_logged, k_not_logged};
    Trip trip = MadeTrip{}
                    .add(k_half_hour, alone)
                    .go_to(86.0F, 1.0F, alone)
                    .go_to(62.0F, per_block_k, alone)
                    .add(static_cast<std::size_t>(flat_blocks),
                         {62.0F, k_not_logged, k_not_logged, k_not_logged})
                    .go_to(80.0F, 0.5F, alone)
                    .add(60, alone)
                    .take();
    trip.warm_ups.push_back({0.0, 30.0, 300.0, {}, {}, {}, {}});
    std::vector<Explanation> found;
    const NormalBand band = made_band();
    for (const Episode& e : find_episodes(trip, band, deviations_from(trip, band, {}), {}))
      found.push_back(explain(e, trip, band));
    return found;
  };
  const std::vector<Explanation> stood = of(0.12F, 0); // 0.7 K/min
  REQUIRE(stood.size() == 2);
  CHECK(stood[0] == Explanation::restart);
  CHECK(stood[1] == Explanation::slow_running);
  CHECK(of(0.5F, 0).back() == Explanation::none);    // 3 K/min: the radiator is in the circuit
  CHECK(of(0.12F, 120).back() == Explanation::none); // it does not cool for 20 min: it runs
}

TEST_CASE("without an outside temperature no weather is claimed") {
  CHECK(during({70.0F, 35.0F, 60.0F, k_not_logged}) == Explanation::none);
  CHECK(during({90.0F, 35.0F, 60.0F, k_not_logged}) == Explanation::none);
}

TEST_CASE("where no air was logged a start in deep cold tells of it, a mild start does not") {
  const auto started_at = [](double from_c) {
    Trip trip = MadeTrip{}.add(k_half_hour, {70.0F, 35.0F, 60.0F, k_not_logged}).take();
    trip.warm_ups = {{0.0, from_c, {}, {}, {}, {}, {}}};
    const JudgeOptions options;
    const auto episodes =
        find_episodes(trip, made_band(), deviations_from(trip, made_band(), options), options);
    return explain(episodes.front(), trip, made_band());
  };
  CHECK(started_at(-18.0) == Explanation::cold_weather);
  CHECK(started_at(10.0) == Explanation::none);
}

TEST_CASE("the last kelvins of a warm-up are warm-up, for five minutes") {
  const auto ending = [](std::size_t blocks, float coolant) {
    return only(MadeTrip{}
                    .add(60, {50.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up})
                    .add(blocks, {coolant})
                    .add(k_half_hour, {}));
  };
  CHECK(ending(25, 75.0F) == Explanation::warm_up);
  CHECK(ending(60, 75.0F) == Explanation::none);
  CHECK(ending(25, 65.0F) == Explanation::none); // 15 K below is no last kelvin
}

TEST_CASE(
    "an overshoot at the first opening is not explained away: it tells of a late thermostat") {
  CHECK(only(MadeTrip{}
                 .add(60, {50.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up})
                 .add(25, {92.0F})
                 .add(k_half_hour, {})) == Explanation::none);
}

TEST_CASE("heat soak after a stop is the restart, for five minutes") {
  const auto after_stop = [](std::size_t blocks) {
    return only(MadeTrip{}
                    .add(k_half_hour, {})
                    .add(30, {85.0F, 0.0F, 0.0F, 15.0F, Phase::off})
                    .add(blocks, {88.0F})
                    .add(k_half_hour, {}));
  };
  CHECK(after_stop(20) == Explanation::restart);
  CHECK(after_stop(60) == Explanation::none);
}

TEST_CASE("the longer it stood, the colder it may be for the minutes after") {
  // Standing for `blocks` of 10 s, then back to its level from 14 K below.
  const auto after = [](std::size_t blocks, Phase phase) {
    MadeTrip made;
    made.add(k_half_hour, {}).add(blocks, {70.0F, 0.0F, 0.0F, 15.0F, phase});
    made.add(6, {66.0F, 35.0F, 60.0F, 15.0F, Phase::restart}).go_to(80.0F, 2.0F);
    return find_and_explain(made.add(k_half_hour, {}).take());
  };
  CHECK(after(60, Phase::off) == Explanation::restart); // 10 min: 16 K
  CHECK(after(50, Phase::off) == Explanation::none);    // 13.3 K
  CHECK(after(1, Phase::off) == Explanation::none);
  // A hole in the rows is a stop as well.
  const auto with_hole = [&](double hole_s) {
    MadeTrip made;
    made.add(k_half_hour, {}).add(6, {66.0F, 35.0F, 60.0F, 15.0F, Phase::restart});
    Trip trip = made.go_to(80.0F, 2.0F).add(k_half_hour, {}).take();
    for (std::size_t i = k_half_hour; i < trip.blocks.size(); ++i) {
      trip.blocks.start_s[i] += hole_s;
      trip.blocks.end_s[i] += hole_s;
    }
    return find_and_explain(trip);
  };
  CHECK(with_hole(600.0) == Explanation::restart);
  CHECK(with_hole(300.0) == Explanation::none);
}

TEST_CASE("the share of idling is by time, and unknown without road speed") {
  const Trip trip = MadeTrip{}.add(30, {80, 20, 0}).add(90, {}).take();
  CHECK(*idle_share(trip.blocks, 0.0, 1e9) == doctest::Approx(0.25));
  CHECK(*idle_share(trip.blocks, 0.0, 290.0) == doctest::Approx(1.0));
  const Trip unknown = MadeTrip{}.add(30, {80, 20, k_not_logged}).take();
  CHECK_FALSE(idle_share(unknown.blocks, 0.0, 1e9));
}

// ---- with what a sound vehicle would have read ----

namespace {

/// The only episode of a trip, explained with and without the circuit.
Explanation foreseen(const Stretch& stretch, const SoundReading& sound, bool experienced = false,
                     std::size_t blocks = 60) {
  const Trip trip = MadeTrip{}.add(k_half_hour, {}).add(blocks, stretch).add(30, {}).take();
  const JudgeOptions options;
  const auto episodes =
      find_episodes(trip, made_band(), deviations_from(trip, made_band(), options), options);
  REQUIRE(episodes.size() == 1);
  NormalBand band = made_band();
  if (experienced) {
    band.load_seen_pct = Range{10.0, 90.0};
    band.ambient_seen_c = Range{-10.0, 40.0};
  }
  return explain(episodes.front(), trip, band, sound);
}

} // namespace

TEST_CASE("what the circuit foresees is explained where no rule of the trade does") {
  CHECK(during({92.0F, 50.0F}) == Explanation::none);
  CHECK(foreseen({92.0F, 50.0F}, {91.0, 1.0}) == Explanation::heavy_load);
  CHECK(foreseen({90.0F, 35.0F, 60.0F, 30.0F}, {89.0, 1.0}) == Explanation::hot_weather);
  CHECK(foreseen({97.0F, 20.0F, 5.0F}, {96.0, 1.0}) == Explanation::slow_running);
  CHECK(foreseen({90.0F, 35.0F, 60.0F}, {89.0, 1.0}) == Explanation::heavy_load);
  CHECK(foreseen({70.0F, 35.0F, 60.0F, 2.0F}, {71.0, 1.0}) == Explanation::cold_weather);
  Stretch climb{97.0F, k_not_logged, 50.0F};
  climb.altitude_rise_m = 10.0F;
  CHECK(foreseen(climb, {95.0, 1.0}) == Explanation::heavy_load);
}

TEST_CASE("beyond all that the circuit foresees no load excuses a reading") {
  CHECK(during({90.0F, 75.0F}) == Explanation::heavy_load);
  CHECK(foreseen({90.0F, 75.0F}, {80.0, 1.0}, true) == Explanation::none);
  CHECK(foreseen({90.0F, 75.0F}, {80.0, 1.0}) == Explanation::heavy_load); // never seen such loads
  CHECK(foreseen({90.0F, 75.0F}, {80.0, 4.0}) == Explanation::heavy_load); // hardly known
  CHECK(foreseen({90.0F, 35.0F, 60.0F, 38.0F}, {81.0, 1.0}, true) == Explanation::none);
  CHECK(foreseen({90.0F, 35.0F, 60.0F, 38.0F}, {81.0, 1.0}) == Explanation::none); // air is air
  CHECK(foreseen({90.0F, 20.0F, 5.0F}, {81.0, 1.0}) == Explanation::none);
}

TEST_CASE("a driven engine in the cold stays above two thirds of what the circuit foresees") {
  const auto of = [](float speed_kmh, const SoundReading& sound, std::size_t blocks = 90) {
    return foreseen({45.0F, 35.0F, speed_kmh, -20.0F}, sound, false, blocks);
  };
  CHECK(of(60.0F, {80.0, 1.0}) == Explanation::none);             // 65 K of 98 K above the air
  CHECK(of(60.0F, {76.0, 1.0}) == Explanation::cold_weather);     // 65 K of 94 K
  CHECK(of(60.0F, {80.0, 3.0}) == Explanation::cold_weather);     // hardly known
  CHECK(of(60.0F, {80.0, 1.0}, 50) == Explanation::cold_weather); // not for long
  CHECK(of(0.0F, {80.0, 1.0}) == Explanation::cold_weather);      // it idles
  CHECK(of(k_not_logged, {80.0, 1.0}) == Explanation::cold_weather);
}

TEST_CASE("neither foreseen nor far beyond it, nothing new is explained") {
  CHECK(foreseen({85.0F, 35.0F}, {80.5, 1.0}) == Explanation::none);
  CHECK(foreseen({75.0F, 35.0F}, {79.5, 1.0}) == Explanation::none);
}

TEST_CASE("what was foreseen counts on the episode's own side only") {
  CHECK(foreseen({86.0F, 35.0F}, {72.0, 10.0}) == Explanation::none);
  CHECK(foreseen({74.0F, 35.0F}, {88.0, 10.0}) == Explanation::none);
}

TEST_CASE("settling after a stop or a warm-up is none of the circuit's business") {
  const Trip soak = MadeTrip{}
                        .add(k_half_hour, {})
                        .add(30, {85.0F, 0.0F, 0.0F, 15.0F, Phase::off})
                        .add(20, {88.0F})
                        .add(k_half_hour, {})
                        .take();
  const JudgeOptions options;
  const auto episodes =
      find_episodes(soak, made_band(), deviations_from(soak, made_band(), options), options);
  REQUIRE(episodes.size() == 1);
  CHECK(explain(episodes.front(), soak, made_band(), SoundReading{80.0, 0.5}) ==
        Explanation::restart);
}

TEST_CASE("an episode of unknown means is left to the rules of the trade") {
  const Trip trip = MadeTrip{}.add(k_half_hour, {}).add(60, {90.0F, 75.0F}).add(30, {}).take();
  const JudgeOptions options;
  auto episodes =
      find_episodes(trip, made_band(), deviations_from(trip, made_band(), options), options);
  episodes.front().observed_c = std::nullopt;
  CHECK(explain(episodes.front(), trip, made_band(), SoundReading{80.0, 0.5}) ==
        Explanation::heavy_load);
}

namespace {

/// A warm-up that arrives after 10 min, then what follows; the band's level is 80 °C.
Explanation after_arrival(const std::vector<Stretch>& follows) {
  MadeTrip made;
  made.add(60, {50.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up});
  for (const Stretch& stretch : follows) made.add(12, stretch);
  Trip trip = made.add(120, {}).take();
  trip.warm_ups = {{0.0, 20.0, 600.0, {}, {}, {}, {}}};
  const NormalBand band = made_band();
  const auto episodes = find_episodes(trip, band, deviations_from(trip, band, {}), {});
  const auto below = std::find_if(episodes.begin(), episodes.end(),
                                  [](const Episode& e) { return e.direction == Direction::below; });
  REQUIRE(below != episodes.end());
  return explain(*below, trip, band);
}

} // namespace

TEST_CASE("a warm-up that creeps up may fall back below the band for minutes") {
  const Stretch near{79.0F};
  const Stretch low{72.0F};
  CHECK(after_arrival({near, low, near}) == Explanation::warm_up);
  // Past its level first: a valve that overshoots and falls.
  CHECK(after_arrival({{84.0F}, low, near}) == Explanation::none);
  // Far below: a cold engine.
  CHECK(after_arrival({near, {66.0F}, near}) == Explanation::none);
  // Ten minutes after the arrival it should have settled.
  CHECK(after_arrival({near, near, near, near, low, near}) == Explanation::none);
}

TEST_CASE(
    "in the cool a fall that idling could make is the cold's, where nothing tells of idling") {
  const auto of = [](double from_c, float ambient_c, float lowest_c) {
    const Stretch alone{80.0F, k_not_logged, k_not_logged, ambient_c};
    Trip trip = MadeTrip{}
                    .add(k_half_hour, alone)
                    .go_to(lowest_c, 0.2F, alone)
                    .add(60, {lowest_c, k_not_logged, k_not_logged, ambient_c})
                    .take();
    trip.warm_ups.push_back({0.0, from_c, 600.0, {}, {}, {}, {}});
    return only(trip);
  };
  CHECK(of(10.0, k_not_logged, 68.0F) == Explanation::cold_weather);
  CHECK(of(11.0, k_not_logged, 68.0F) ==
        Explanation::none); // the engine was no warmer than the air
  CHECK(of(30.0, 5.0F, 68.0F) == Explanation::cold_weather);
  CHECK(of(30.0, 6.0F, 68.0F) == Explanation::none);
}

TEST_CASE(
    "an engine that started cool and idles explains a low reading without an ambient column") {
  const auto of = [](double from_c, float speed_kmh) {
    Trip trip = MadeTrip{}
                    .add(k_half_hour, {80.0F, 35.0F, 60.0F, k_not_logged})
                    .add(60, {70.0F, 20.0F, speed_kmh, k_not_logged})
                    .take();
    trip.warm_ups.push_back({0.0, from_c, 600.0, {}, {}, {}, {}});
    return only(trip);
  };
  CHECK(of(8.0, 0.0F) == Explanation::cold_weather);
  CHECK(of(8.0, 60.0F) == Explanation::none);
  CHECK(of(15.0, 0.0F) == Explanation::slow_running);
}

TEST_CASE("a warm-up under load passes the centre and is still on its way") {
  // At 80 % the band expects 89 °C: 84 °C is short of that, and comes nearer to it.
  NormalBand band = made_band();
  band.load_c_per_pct = 0.2;
  band.load_seen_pct = Range{10.0, 90.0};
  const auto of = [&](std::vector<float> readings, float load_pct) {
    MadeTrip made;
    made.add(36, {50.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up});
    for (const float reading : readings) made.add(12, {reading, load_pct});
    Trip trip = made.add(120, {89.0F, load_pct}).take();
    trip.warm_ups = {{0.0, 20.0, 360.0, {}, {}, {}, {}}};
    return only(trip, band);
  };
  CHECK(of({78.0F, 84.0F}, 80.0F) == Explanation::warm_up);
  // For longer than five minutes only if it comes nearer to its level all the while...
  CHECK(of({77.0F, 80.0F, 83.0F, 85.0F}, 80.0F) == Explanation::warm_up);
  CHECK(of({80.0F, 80.0F, 80.0F, 80.0F}, 80.0F) == Explanation::none);
  // ...and not for longer than ten.
  CHECK(of({77.0F, 78.0F, 79.0F, 80.0F, 81.0F, 82.0F, 84.0F}, 80.0F) == Explanation::none);
}

TEST_CASE("a start beyond all learned ones tells of air that no column shows") {
  NormalBand band = made_band();
  for (std::size_t i = 0; i < band.drives.size(); ++i)
    band.drives[i].warm_up = WarmUp{0.0, 20.0 + static_cast<double>(i), 600.0, 5.0, {}, {}, {}};
  const auto of = [&](double from_c, float reading_c, float ambient_c = k_not_logged) {
    Trip trip = MadeTrip{}
                    .add(60, {80.0F, 35.0F, 60.0F, ambient_c})
                    .add(120, {reading_c, 35.0F, 60.0F, ambient_c})
                    .take();
    trip.warm_ups = {{0.0, from_c, 600.0, {}, {}, {}, {}}};
    return only(trip, band);
  };
  // 15 K colder, at 0.2 K per K: 3 K more than the 3.5 K that an episode takes.
  CHECK(of(5.0, 74.0F) == Explanation::cold_weather);
  CHECK(of(5.0, 73.0F) == Explanation::none);
  CHECK(of(20.0, 74.0F) == Explanation::none);
  CHECK(of(5.0, 74.0F, 15.0F) == Explanation::none);  // the air is known
  CHECK(of(40.0, 85.0F) == Explanation::hot_weather); // 11 K above the warmest: 2.2 K more
  CHECK(of(40.0, 86.5F) == Explanation::none);
  CHECK(of(50.0, 85.0F) == Explanation::none); // no air is as hot: an engine still warm
}
