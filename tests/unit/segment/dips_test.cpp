// SPDX-License-Identifier: Apache-2.0
// Which drops of the reading are dips, where they lie, and what is none.
#include "segment/dips.hpp"

#include "unit/condition/made_recording.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Well below the 80 °C at which the made trips regulate.
constexpr double k_shut_below_c = 70.0;

Dips dips_of(const Trip& trip) { return find_dips(trip, k_shut_below_c); }
Dips dips_of(const MadeTrip& made) { return dips_of(made.take()); }

/// Dips for 30 s, with a minute between them.
MadeTrip dipping(std::size_t dips, float depth_c, float level_c = 80.0F) {
  MadeTrip made;
  made.add(60, {level_c});
  for (std::size_t i = 0; i < dips; ++i) made.add(3, {level_c - depth_c}).add(6, {level_c});
  return made.add(60, {level_c});
}

std::size_t count_inside(const Dips& dips) {
  return static_cast<std::size_t>(std::count(dips.inside.begin(), dips.inside.end(), true));
}

/// A warm-up from 20 °C by a kelvin a block, with the reading 8 K too low in the blocks named.
Trip warm_up_with(const std::vector<std::size_t>& bare, float step_c = 1.0F) {
  MadeTrip made;
  for (std::size_t i = 0; i < 50; ++i) {
    const bool in_gas = std::find(bare.begin(), bare.end(), i) != bare.end();
    made.add(1, {20.0F + step_c * static_cast<float>(i) - (in_gas ? 8.0F : 0.0F), 35.0F, 60.0F,
                 15.0F, Phase::warm_up});
  }
  return made.add(60, {}).take();
}

/// The first trip of a log with one row every `period_s`: warm, with 40 s in gas at 1200 s.
Trip sampled(double period_s, float dip_c) {
  std::vector<float> coolant;
  for (double t = 0.0; t < 2400.0; t += period_s)
    coolant.push_back(t >= 1200.0 && t < 1240.0 ? 80.0F - dip_c : 80.0F);
  Recording recording = made_recording(period_s, coolant);
  SegmentOptions options;
  options.regulating_c = 80.0;
  return find_trips(recording, condition(recording), options).front();
}

} // namespace

TEST_CASE("dips are counted when they fall faster than an engine can and come back in time") {
  CHECK(dips_of(MadeTrip{}.add(180, {})).warm == 0);
  CHECK(dips_of(dipping(4, 15.0F)).warm == 4);
  CHECK(dips_of(dipping(4, 3.0F)).warm == 0); // 3 K in 10 s and 1 K of rounding are possible
  MadeTrip slow;                              // the same depth, but back over minutes
  slow.add(60, {}).add(20, {65.0F});
  for (float c = 65.0F; c < 80.0F; c += 1.0F) slow.add(1, {c});
  CHECK(dips_of(slow.add(60, {})).warm == 0);
}

TEST_CASE("a dip is marked from its first low block until it is back at its rim") {
  const Dips dips = dips_of(MadeTrip{}.add(60, {}).add(3, {65.0F}).add(60, {}));
  REQUIRE(dips.inside.size() == 123);
  CHECK(count_inside(dips) == 3);
  CHECK_FALSE(dips.inside[59]);
  CHECK(dips.inside[60]);
  CHECK(dips.inside[62]);
  CHECK_FALSE(dips.inside[63]);
}

TEST_CASE("a fall that does not come back within two minutes is no dip, and hides none after it") {
  const Dips dips =
      dips_of(MadeTrip{}.add(60, {}).add(30, {70.0F}).add(2, {60.0F}).add(30, {70.0F}));
  CHECK(dips.warm == 1); // the second fall alone, from its own rim
  CHECK(count_inside(dips) == 2);
}

TEST_CASE("a cold slug through the opening valve is a warm dip, never one with the valve shut") {
  // At 83 °C the valve lets the radiator's cold coolant through, once.
  const Dips sudden = dips_of(MadeTrip{}
                                  .add(30, {60.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up})
                                  .add(10, {83.0F})
                                  .add(3, {75.0F})
                                  .add(60, {82.0F}));
  CHECK(sudden.warm == 1);
  CHECK(sudden.shut == 0);
  // Mixed on its way it falls by no more than an engine's coolant may: nothing is odd about it.
  MadeTrip mixed;
  mixed.add(30, {83.0F});
  for (const float c : {81.0F, 79.0F, 77.0F, 78.0F, 80.0F, 82.0F}) mixed.add(1, {c});
  const Dips gentle = dips_of(mixed.add(30, {83.0F}));
  CHECK(gentle.warm + gentle.shut == 0);
}

TEST_CASE("a bare sensor shows in the warm-up, where nothing cold can reach it") {
  const Dips none = dips_of(warm_up_with({}));
  CHECK(none.seen);
  CHECK(none.warm + none.shut == 0);

  const Dips twice = dips_of(warm_up_with({20, 21, 35}));
  CHECK(twice.shut == 2);
  CHECK(twice.warm == 0);
  CHECK(count_inside(twice) == 3);
  CHECK(twice.inside[20]);
  CHECK(twice.inside[21]);
  CHECK(twice.inside[35]);
}

TEST_CASE("with the valve shut a smaller fall is odd than with it open") {
  CHECK(dips_of(dipping(2, 4.0F, 60.0F)).shut == 2);
  CHECK(dips_of(dipping(2, 4.0F, 80.0F)).warm == 0);
}

TEST_CASE("steps of the reading are no dips, fine readings show smaller ones") {
  MadeTrip flicker; // 1 °C steps that go to and fro by two
  for (int i = 0; i < 40; ++i) flicker.add(1, {60.0F}).add(1, {58.0F});
  CHECK(dips_of(flicker).shut == 0);
  CHECK(dips_of(dipping(2, 3.0F, 60.0F)).shut == 0);
  Trip fine = dipping(2, 3.0F, 60.0F).take();
  fine.resolution_c = 0.1;
  CHECK(dips_of(fine).shut == 2);
}

TEST_CASE("an engine that stands may read anything") {
  const auto reads = [](Phase phase) {
    return dips_of(MadeTrip{}
                       .add(30, {60.0F})
                       .add(3, {45.0F, 0.0F, 0.0F, 15.0F, phase})
                       .add(30, {60.0F}))
        .shut;
  };
  CHECK(reads(Phase::off) == 0);
  CHECK(reads(Phase::warm) == 1);
}

TEST_CASE("a reading every ten seconds still shows a dip, one a minute does not") {
  for (const double period_s : {1.0, 10.0}) {
    CAPTURE(period_s);
    const Dips dips = dips_of(sampled(period_s, 15.0F));
    CHECK(dips.seen);
    CHECK(dips.warm == 1);
    CHECK(dips_of(sampled(period_s, 3.0F)).warm == 0);
  }
  const Dips minutes = dips_of(sampled(60.0, 15.0F));
  CHECK_FALSE(minutes.seen);
  CHECK(minutes.warm + minutes.shut == 0);
}
