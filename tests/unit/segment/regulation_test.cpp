// SPDX-License-Identifier: Apache-2.0
// Swings, idling and cooling of a warm engine, made and simulated.
#include "segment/regulation.hpp"

#include "unit/diagnose/made_trips.hpp"
#include "unit/segment/simulated_drives.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Warm running in whole degrees at 1 Hz: a sine in noise that remembers itself for a minute.
struct Swing {
  double amplitude_k = 0.0;
  double period_s = 120.0;
  double noise_k = 0.3;
  std::uint64_t seed = 1;
};

Trip swinging(const Swing& swing, int seconds = 2400) {
  Noise noise(swing.seed);
  std::vector<float> coolant;
  double wander = 0.0;
  for (int i = 0; i < seconds; ++i) {
    if (i % 10 == 0) wander = 0.85 * wander + swing.noise_k * noise.next();
    const double turn = 2.0 * std::numbers::pi * i / swing.period_s;
    const double swung = swing.amplitude_k * std::sin(turn + static_cast<double>(swing.seed));
    coolant.push_back(static_cast<float>(std::round(85.3 + wander + swung)));
  }
  const Recording recording = made_recording(1.0, coolant);
  return find_trips(recording, condition(recording)).front();
}

/// Alternating blocks of warm running and standing.
Trip stop_and_go(int stops, std::size_t blocks_standing, float idle_c) {
  MadeTrip made;
  for (int i = 0; i < stops; ++i)
    made.add(20, {82.0F, 40.0F, 50.0F}).add(blocks_standing, {idle_c, 15.0F, 0.0F});
  return made.take();
}

Trip falling(float k_per_block, std::size_t blocks) {
  MadeTrip made;
  made.add(30, {90.0F});
  for (std::size_t i = 1; i <= blocks; ++i)
    made.add(1, {90.0F - k_per_block * static_cast<float>(i)});
  return made.add(30, {90.0F - k_per_block * static_cast<float>(blocks)}).take();
}

} // namespace

TEST_CASE("a sine in whole degrees is found with its amplitude and period") {
  for (const double period_s : {60.0, 120.0, 240.0, 400.0}) {
    for (const double amplitude_k : {1.5, 3.0, 6.0}) {
      for (std::uint64_t seed = 1; seed <= 5; ++seed) {
        const Regulation found = swinging({amplitude_k, period_s, 0.3, seed}).regulation;
        REQUIRE(found.amplitude_k);
        CHECK(*found.amplitude_k == doctest::Approx(amplitude_k).epsilon(0.15));
        CHECK(*found.period_s == doctest::Approx(period_s).epsilon(0.04));
      }
    }
  }
}

TEST_CASE("noise has no period, however long it remembers itself") {
  int found = 0;
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    for (const double noise_k : {0.3, 1.0, 3.0})
      found += swinging({0.0, 120.0, noise_k, seed}).regulation.amplitude_k ? 1 : 0;
  }
  MESSAGE("periods in noise: " << found << " of 300");
  CHECK(found <= 9); // 3 %
}

TEST_CASE("a level reading, and a swing below half a step, are no swing") {
  CHECK_FALSE(swinging({0.0, 120.0, 0.0, 1}).regulation.amplitude_k);
  CHECK_FALSE(swinging({0.15, 120.0, 0.0, 1}).regulation.amplitude_k);
}

TEST_CASE("three periods must have been seen") {
  CHECK(swinging({4.0, 300.0, 0.1, 1}, 1500).regulation.period_s);
  CHECK_FALSE(swinging({4.0, 300.0, 0.1, 1}, 750).regulation.period_s);
}

TEST_CASE("a sticking thermostat swings widely where a sound one holds still") {
  int swings[2] = {0, 0};
  double widest_sound_k = 0.0;
  double widest_sticking_k = 0.0;
  for (std::uint64_t seed = 51000; seed < 51040; ++seed) {
    for (const Fault fault : {Fault::none, Fault::sticking}) {
      Random random(seed);
      DrivePlan plan = drawn_plan(random, seed);
      plan.legs = {{LegKind::road, 15.0}, {LegKind::motorway, 45.0}};
      const Regulation found = trip_of(simulate_drive({}, plan, {fault})).regulation;
      if (!found.amplitude_k) continue;
      const bool sticks = fault == Fault::sticking;
      ++swings[sticks ? 1 : 0];
      double& widest_k = sticks ? widest_sticking_k : widest_sound_k;
      widest_k = std::max(widest_k, *found.amplitude_k);
    }
  }
  MESSAGE("swings: sound " << swings[0] << ", sticking " << swings[1] << " of 40; widest "
                           << widest_sound_k << " and " << widest_sticking_k << " K");
  // A sound valve hunts too, by less than its hysteresis (2 K here).
  CHECK(swings[1] >= 2 * swings[0]);
  CHECK(widest_sound_k < 2.0);
  CHECK(widest_sticking_k > 3.0);
}

TEST_CASE("the hottest idle is that of the later part of standstills") {
  const Regulation found = stop_and_go(4, 9, 91.0F).regulation;
  CHECK_FALSE(found.hottest_idle_c); // measured by find_trips only
  CHECK(measure_regulation(stop_and_go(4, 9, 91.0F)).hottest_idle_c.value() == 91.0);
  // Four times 30 s are not two minutes beyond the first 30 s; one stand of 90 s is not either.
  CHECK_FALSE(measure_regulation(stop_and_go(4, 3, 91.0F)).hottest_idle_c);
  CHECK_FALSE(measure_regulation(stop_and_go(1, 9, 91.0F)).hottest_idle_c);
}

TEST_CASE("standing with the engine off, or without road speed, is no idling") {
  Trip trip = stop_and_go(4, 9, 91.0F);
  for (std::size_t i = 0; i < trip.blocks.size(); ++i) {
    if (trip.blocks.speed[i] < 1.0F) trip.blocks.rpm[i] = 0.0F;
  }
  CHECK_FALSE(measure_regulation(trip).hottest_idle_c);
  trip.blocks.rpm.assign(trip.blocks.size(), k_not_logged);
  CHECK(measure_regulation(trip).hottest_idle_c);
  trip.blocks.speed.assign(trip.blocks.size(), k_not_logged);
  CHECK_FALSE(measure_regulation(trip).hottest_idle_c);
}

TEST_CASE("the best cooling is the pace of the steepest fall") {
  CHECK(measure_regulation(falling(0.5F, 12)).best_cooling_k_per_min.value() ==
        doctest::Approx(3.0).epsilon(0.05));
  // Slow, but it goes on: 1 K/min for four minutes.
  CHECK(measure_regulation(falling(1.0F / 6.0F, 24)).best_cooling_k_per_min.value() ==
        doctest::Approx(1.0).epsilon(0.05));
}

TEST_CASE("a fall of less than two steps is no cooling, nor is one outside warm running") {
  CHECK_FALSE(measure_regulation(falling(0.3F, 6)).best_cooling_k_per_min);
  Trip fine = falling(0.3F, 6);
  fine.resolution_c = 0.1;
  CHECK(measure_regulation(fine).best_cooling_k_per_min);
  Trip settling = falling(1.0F, 12);
  settling.blocks.phase.assign(settling.blocks.size(), Phase::restart);
  CHECK_FALSE(measure_regulation(settling).best_cooling_k_per_min);
}

TEST_CASE("a fall across a hole is not known to be one") {
  Trip trip = falling(1.0F, 12);
  for (std::size_t i = 30; i < 42; ++i) trip.blocks.coolant[i] = k_not_logged;
  CHECK_FALSE(measure_regulation(trip).best_cooling_k_per_min);
}

TEST_CASE("a trip without warm running has no regulation") {
  const Regulation found =
      measure_regulation(MadeTrip{}.add(60, {50.0F, 40.0F, 0.0F, 10.0F, Phase::warm_up}).take());
  CHECK_FALSE(found.amplitude_k);
  CHECK_FALSE(found.hottest_idle_c);
  CHECK_FALSE(found.best_cooling_k_per_min);
  CHECK_FALSE(measure_regulation(Trip{}).amplitude_k);
}

TEST_CASE("roughness is how far ten seconds lie off the middle of their neighbours") {
  MadeTrip made;
  for (int i = 0; i < 100; ++i) made.add(1, {i % 2 == 0 ? 80.0F : 81.0F});
  Trip zigzag = made.take();
  zigzag.resolution_c = 0.0;
  CHECK(measure_regulation(zigzag).roughness_k.value() == doctest::Approx(1.0));
  // A step of 1 K explains 1/8 K² of it.
  zigzag.resolution_c = 1.0;
  CHECK(measure_regulation(zigzag).roughness_k.value() == doctest::Approx(std::sqrt(0.875)));
  // A steady slope is as smooth as can be.
  MadeTrip rising;
  for (int i = 0; i < 100; ++i) rising.add(1, {70.0F + 0.25F * static_cast<float>(i)});
  CHECK(measure_regulation(rising.take()).roughness_k.value() == doctest::Approx(0.0));
  // Ten minutes are the least.
  CHECK_FALSE(measure_regulation(MadeTrip{}.add(40, {}).take()).roughness_k);
}

TEST_CASE("dips are counted by the hour of warm running") {
  MadeTrip made;
  for (int i = 0; i < 9; ++i) made.add(38, {90.0F}).add(2, {82.0F});
  Trip trip = made.take(); // an hour
  trip.level_c = 90.0;
  CHECK(measure_regulation(trip).dips_per_h.value() == doctest::Approx(8.0).epsilon(0.02));
  trip.level_c = std::nullopt;
  CHECK_FALSE(measure_regulation(trip).dips_per_h);
}
