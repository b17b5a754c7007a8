// SPDX-License-Identifier: Apache-2.0
// Courses of an engine that idles, and of one that is worked now more, now less.
#include "diagnose/steady_heat.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// From 20 °C for half an hour.
Trip course(float one_k, float other_k) { return by_turns(20.0F, one_k, other_k, 180); }

double worked_s(const Trip& trip, const NormalBand& band = made_band()) {
  return at_work(trip, band, 0.0, 1800.0).seconds;
}

/// As a gauge of whole steps shows it.
Trip in_steps_of(float step_c, Trip trip) {
  for (float& c : trip.blocks.coolant) c = step_c * std::floor(c / step_c);
  trip.resolution_c = 1.0;
  return trip;
}

} // namespace

TEST_CASE("a slow straight rise may be that of an idling engine, all of it") {
  CHECK(worked_s(course(0.1F, 0.1F)) == 0.0);
  CHECK(worked_s(course(-0.05F, -0.05F)) == 0.0);
}

TEST_CASE("no idling engine lifts its reading so fast, however straight") {
  const AtWork work = at_work(course(0.4F, 0.4F), made_band(), 0.0, 1800.0);
  // To 68 °C, where a thermostat of 80 °C may open: 120 blocks.
  CHECK(work.seconds == doctest::Approx(1200.0).epsilon(0.05));
  CHECK(work.rise_k == doctest::Approx(48.0).epsilon(0.05));
}

TEST_CASE("one that is worked now more, now less, is seen at work though it rises slowly") {
  const AtWork work = at_work(course(0.3F, -0.1F), made_band(), 0.0, 1800.0);
  CHECK(work.seconds > 1700.0);
  CHECK(work.rise_k == doctest::Approx(18.0).epsilon(0.1));
}

TEST_CASE("what a restless reading, or one of coarse steps, does by itself shows no work") {
  CHECK(worked_s(course(0.2F, -0.0F)) > 1700.0);
  NormalBand restless = made_band();
  restless.traits.roughness_k = Trait{0.9, 0.05, 0.1, 8};
  CHECK(worked_s(course(0.2F, -0.0F), restless) == 0.0);
  CHECK(worked_s(in_steps_of(1.0F, course(0.08F, 0.08F))) == 0.0);
  CHECK(worked_s(in_steps_of(2.0F, course(0.08F, 0.08F))) == 0.0); // known as steps of 1 °C
}

TEST_CASE("nothing counts where a sound thermostat may open") {
  Trip trip = course(0.3F, -0.1F);
  for (float& c : trip.blocks.coolant) c += 50.0F; // from 70 °C: 68 is 12 K below the level
  CHECK(worked_s(trip) == 0.0);
  NormalBand opens_late = made_band();
  opens_late.traits.opens_c = Trait{95.0, 0.2, 0.5, 8}; // bends there, begins 6 K below at most
  CHECK(worked_s(trip, opens_late) > 1500.0);
}

TEST_CASE("nor what the log leaves out, or where rows are too far apart to tell") {
  Trip holed = course(0.3F, -0.1F);
  for (std::size_t i = 60; i < 120; ++i) holed.blocks.coolant[i] = k_not_logged;
  CHECK(worked_s(holed) < 1250.0);
  CHECK(worked_s(holed) > 900.0);
  Trip sparse = course(0.3F, -0.1F);
  for (std::size_t i = 0; i < sparse.blocks.size(); ++i) {
    if (i % 6 != 0) sparse.blocks.coolant[i] = k_not_logged;
  }
  CHECK(worked_s(sparse) == 0.0); // four of them in four minutes
}

TEST_CASE("only between the times that are asked for") {
  const AtWork work = at_work(course(0.3F, -0.1F), made_band(), 600.0, 1200.0);
  CHECK(work.seconds > 500.0);
  CHECK(work.seconds <= 600.0);
}
