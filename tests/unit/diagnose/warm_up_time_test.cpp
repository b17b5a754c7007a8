// SPDX-License-Identifier: Apache-2.0
// Which warm-ups are held against the usual, and how long they took beside it.
#include "diagnose/warm_up_time.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// From 15 °C to 3 K below its 80 °C in 10 min.
NormalBand usual() {
  NormalBand band = made_band();
  band.traits.warm_up = WarmUpNormal{Trait{6.2, 0.1, 0.5, 8}, {}, {}};
  return band;
}

/// An hour that begins with a warm-up; never over where `reached_s` is none.
Trip warming(std::optional<double> reached_s, const Stretch& on = {}, double from_c = 15.0) {
  Trip trip = MadeTrip{}.add(360, on).take();
  trip.warm_ups.push_back({0.0, from_c, reached_s, {}, {}, {}, {}});
  return trip;
}

} // namespace

TEST_CASE("a warm-up is as long as it is beside the usual") {
  const auto length = [](double reached_s) {
    return slowest_warm_up(warming(reached_s), usual())->length();
  };
  CHECK(length(890.0) == WarmUpLength::usual);
  CHECK(length(910.0) == WarmUpLength::longer);
  CHECK(length(1210.0) == WarmUpLength::much_longer);
  CHECK(length(1510.0) == WarmUpLength::very_long);
  const auto time = slowest_warm_up(warming(1200.0), usual());
  CHECK(time->usual_s == doctest::Approx(600.0));
  CHECK(time->took_s == 1200.0);
  CHECK(time->reached);
}

TEST_CASE("by a few drives a warm-up is longer at most: how far the usual strays is not known") {
  const auto length = [](std::size_t drives) {
    NormalBand band = usual();
    band.traits.warm_up->rate_k_per_min.drives = drives;
    return slowest_warm_up(warming(1510.0), band)->length();
  };
  CHECK(length(4) == WarmUpLength::longer);
  CHECK(length(5) == WarmUpLength::very_long);
}

TEST_CASE("one that the log shows to no end counts from the usual time on") {
  const auto time = slowest_warm_up(warming({}), usual());
  REQUIRE(time);
  CHECK_FALSE(time->reached);
  CHECK(time->took_s == doctest::Approx(3599.0));
  Trip cut = warming({});
  cut.duration_s = 500.0;
  CHECK_FALSE(slowest_warm_up(cut, usual()));
}

TEST_CASE("of several the slowest beside the usual counts, and none runs into the next") {
  Trip trip = warming({});
  trip.warm_ups.push_back({1300.0, 40.0, 600.0, {}, {}, {}, {}}); // 3 min 37 s would be usual
  const auto time = slowest_warm_up(trip, usual());
  REQUIRE(time);
  CHECK(time->took_s == doctest::Approx(1300.0));
  trip.warm_ups.back().reached_s = 900.0;
  CHECK(slowest_warm_up(trip, usual())->took_s == 900.0);
}

TEST_CASE("what idles or stands for half of it, or begins in deep cold or warm, tells nothing") {
  CHECK(slowest_warm_up(warming(1500.0, {80.0F, 35.0F, 60.0F}), usual()));
  CHECK_FALSE(slowest_warm_up(warming(1500.0, {80.0F, 20.0F, 0.0F}), usual()));
  CHECK_FALSE(slowest_warm_up(warming(1500.0, {}, -8.0), usual()));
  CHECK_FALSE(slowest_warm_up(warming(1500.0, {}, 60.0), usual()));
  Trip cold = warming(1500.0);
  cold.warm_ups.front().ambient_c = -10.0; // a block heater
  CHECK_FALSE(slowest_warm_up(cold, usual()));
  Trip stopped = warming(1500.0);
  stopped.blocks.phase[20] = Phase::off;
  CHECK_FALSE(slowest_warm_up(stopped, usual()));
  CHECK_FALSE(slowest_warm_up(warming(1500.0), made_band())); // the usual is not known
}

TEST_CASE("far colder than any drive began the usual is not known") {
  NormalBand band = usual();
  DriveSummary mild;
  mild.warm_up = WarmUp{0.0, 22.0, 600.0, 6.2, {}, {}, {}};
  DriveSummary warm = mild;
  warm.warm_up->from_c = 30.0;
  band.drives = {warm, mild};
  CHECK(slowest_warm_up(warming(1500.0, {}, 15.0), band));
  CHECK(slowest_warm_up(warming(1500.0, {}, 12.5), band));
  CHECK_FALSE(slowest_warm_up(warming(1500.0, {}, 11.5), band));
  // A drive whose rise is not known tells of no start.
  band.drives.push_back(mild);
  band.drives.back().warm_up->from_c = 5.0;
  band.drives.back().warm_up->rate_k_per_min.reset();
  CHECK_FALSE(slowest_warm_up(warming(1500.0, {}, 11.5), band));
}

TEST_CASE("load or road speed show an engine at work") {
  CHECK(slowest_warm_up(warming(1500.0), usual())->driven);
  CHECK_FALSE(slowest_warm_up(warming(1500.0, k_coolant_only), usual())->driven);
  Stretch load_alone = k_coolant_only;
  load_alone.load = 40.0F;
  CHECK(slowest_warm_up(warming(1500.0, load_alone), usual())->driven);
}

TEST_CASE("by the course of the reading alone an engine is at work, or may have idled") {
  // A minute by +0.3 K every 10 s, a minute by -0.1 K: 0.6 K/min where 6.2 are usual.
  const auto rising = [](float one_k, float other_k) {
    Trip trip = by_turns(15.0F, one_k, other_k, 200);
    trip.warm_ups.push_back({0.0, 15.0, {}, {}, {}, {}, {}});
    return trip;
  };
  const auto at_work = slowest_warm_up(rising(0.3F, -0.1F), usual());
  REQUIRE(at_work);
  REQUIRE(at_work->worked);
  CHECK(at_work->driven);
  CHECK(at_work->ratio() == doctest::Approx(10.3).epsilon(0.1));
  CHECK(at_work->took_s == doctest::Approx(1999.0));
  const auto idled = slowest_warm_up(rising(0.1F, 0.1F), usual());
  REQUIRE(idled);
  CHECK_FALSE(idled->worked);
  CHECK_FALSE(idled->driven);
  // From 40 °C so little is left to rise that the course tells too little.
  Trip short_rise = rising(0.3F, -0.1F);
  short_rise.warm_ups.front().from_c = 40.0;
  CHECK_FALSE(slowest_warm_up(short_rise, usual())->worked);
}

TEST_CASE("minutes that may have been idle are taken out, with the rise that they brought") {
  // Seven minutes' usual rise, a quarter of an hour at idle, and the rest as usual.
  MadeTrip made;
  Stretch on = k_coolant_only;
  on.coolant = 15.0F;
  made.add(1, on).go_to(45.0F, 1.0F, on).go_to(54.0F, 0.1F, on).go_to(80.0F, 1.0F, on);
  Trip trip = made.take();
  trip.resolution_c = 0.1;
  const double reached_s = trip.duration_s - 30.0;
  trip.warm_ups.push_back({0.0, 15.0, reached_s, {}, {}, {}, {}});
  const auto time = slowest_warm_up(trip, usual());
  REQUIRE(time);
  REQUIRE(time->took_s > 1.5 * time->usual_s);
  if (time->worked) CHECK(time->length() == WarmUpLength::usual);
}

TEST_CASE("what ran low on a slow way up was no idling where the engine worked") {
  Trip trip = by_turns(15.0F, 0.3F, -0.1F, 240);
  trip.warm_ups.push_back({0.0, 15.0, {}, {}, {}, {}, {}});
  Episode low;
  low.direction = Direction::below;
  low.start_s = 1800.0;
  low.end_s = 2399.0;
  CHECK(slow_though_at_work(low, trip, usual()));
  trip.warm_ups.front().reached_s = 1700.0; // it had arrived before
  CHECK_FALSE(slow_though_at_work(low, trip, usual()));
  trip.warm_ups.front().reached_s.reset();
  trip.warm_ups.front().from_c = -10.0; // deep cold
  CHECK_FALSE(slow_though_at_work(low, trip, usual()));
}
