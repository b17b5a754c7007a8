// SPDX-License-Identifier: Apache-2.0
// The course of an idling engine, and courses beside it that only a radiator in the circuit makes.
#include "diagnose/may_have_idled.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// A reading that goes from 80 °C through `turns_c` by `step_k` every 10 s.
Trip through(std::initializer_list<float> turns_c, float step_k = 0.2F,
             const Stretch& on = k_coolant_only) {
  MadeTrip made;
  made.add(60, on);
  for (const float turn_c : turns_c) made.go_to(turn_c, step_k, on);
  Trip trip = made.take();
  trip.resolution_c = 0.1;
  return trip;
}

/// Below a band of 80 ± 3 °C from `from_s` to the end.
Episode below_from(double from_s, const Trip& trip) {
  Episode episode;
  episode.direction = Direction::below;
  episode.start_s = from_s;
  episode.end_s = trip.blocks.end_s.back();
  episode.expected_c = 80.0;
  episode.threshold_c = 3.0;
  return episode;
}

bool idled(const Trip& trip) { return may_have_idled(below_from(760.0, trip), trip); }

} // namespace

TEST_CASE("a slow fall, and a rise after it, is what an idling engine does") {
  CHECK(idled(through({65.0F})));
  CHECK(idled(through({65.0F, 76.0F})));
  CHECK(idled(through({65.0F, 79.0F}, 0.4F))); // 2.4 K/min
}

TEST_CASE("heater and block do not cool an engine this fast") {
  CHECK_FALSE(idled(through({65.0F, 79.0F}, 0.6F))); // 3.6 K/min
  CHECK_FALSE(idled(through({60.0F}, 1.0F)));
}

TEST_CASE("nor does the reading of a shut thermostat fall again on the road") {
  CHECK_FALSE(idled(through({65.0F, 70.0F, 68.0F})));
  CHECK(idled(through({65.0F, 70.0F, 69.2F}))); // no more than rows differ by
}

TEST_CASE("what counts as a turn is more where the reading has coarse steps") {
  Trip trip = through({65.0F, 70.0F, 68.4F});
  CHECK_FALSE(idled(trip));
  trip.resolution_c = 1.0;
  CHECK(idled(trip));
}

TEST_CASE("a warm-up that never arrives belongs to the course, from the start") {
  const auto warming = [](std::initializer_list<float> turns_c) {
    MadeTrip made;
    Stretch cold = k_coolant_only;
    cold.coolant = 5.0F;
    made.add(1, cold);
    for (const float turn_c : turns_c) made.go_to(turn_c, 0.2F, k_coolant_only);
    Trip trip = made.take();
    trip.resolution_c = 0.1;
    return trip;
  };
  CHECK(idled(warming({60.0F})));
  CHECK_FALSE(idled(warming({20.0F, 17.0F, 60.0F}))); // long before the episode
}

TEST_CASE("what went on before the reading was last at its level does not") {
  const Trip trip = through({70.0F, 79.0F, 65.0F});
  CHECK(may_have_idled(below_from(1720.0, trip), trip));
  CHECK_FALSE(idled(trip)); // one episode of both falls
}

TEST_CASE("load or road speed tell more than the course of the reading") {
  Stretch on = k_coolant_only;
  on.speed = 0.0F;
  CHECK_FALSE(idled(through({65.0F}, 0.2F, on)));
  on = k_coolant_only;
  on.load = 20.0F;
  CHECK_FALSE(idled(through({65.0F}, 0.2F, on)));
}

TEST_CASE("a fall across a hole in the log counts by its own time") {
  Trip trip = through({79.0F});
  for (int i = 0; i < 6; ++i) {
    Trip later = through({60.0F}); // a block a minute, 2 K each
    const std::size_t last = later.blocks.size() - 1;
    trip.blocks.start_s.push_back(trip.blocks.end_s.back() + 51.0);
    trip.blocks.end_s.push_back(trip.blocks.start_s.back() + 9.0);
    for (auto* column : {&trip.blocks.load, &trip.blocks.speed, &trip.blocks.ambient})
      column->push_back(k_not_logged);
    trip.blocks.coolant.push_back(79.0F - 2.0F * static_cast<float>(i + 1));
    trip.blocks.phase.push_back(later.blocks.phase[last]);
  }
  CHECK(may_have_idled(below_from(trip.blocks.start_s.back() - 180.0, trip), trip));
  trip.blocks.coolant.back() -= 5.0F; // 7 K within a minute: 4.5 K/min over the last two
  CHECK_FALSE(may_have_idled(below_from(trip.blocks.start_s.back() - 180.0, trip), trip));
}
