// SPDX-License-Identifier: Apache-2.0
// A reading that stands still is a finding only where it should move: by a learned band and the
// road speed, or by what a sound vehicle would have read.
#include "diagnose/frozen.hpp"

#include "unit/diagnose/circuit_trips.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// 2600 s at one reading while the road speed changes.
Trip still_trip() {
  return MadeTrip{}.add(130, {80.0F, 35.0F, 20.0F}).add(130, {80.0F, 35.0F, 90.0F}).take();
}

/// A trip that moves, stands still for `blocks`, and moves again.
Trip stands_for(std::size_t blocks) {
  return MadeTrip{}.add(10, {70.0F}).add(blocks, {80.0F}).add(10, {76.0F}).take();
}

/// What a sound vehicle would have read: up and down by `swing_k` every `blocks`.
SoundCourse swinging(const Trip& trip, float swing_k, std::size_t blocks) {
  SoundCourse course;
  for (std::size_t i = 0; i < trip.blocks.size(); ++i)
    course.reading_c.push_back(80.0F + ((i / blocks) % 2 == 0 ? 0.0F : swing_k));
  course.error_k.assign(trip.blocks.size(), 1.0F);
  return course;
}

/// Says nothing by itself: profile bands know of no movement.
NormalBand silent_band() {
  NormalBand band = made_band();
  band.origin = BandOrigin::profile;
  return band;
}

} // namespace

TEST_CASE("a reading that stands still is a finding only where it should move") {
  NormalBand band = made_band();
  const auto found = frozen_stretch(still_trip(), band);
  REQUIRE(found);
  CHECK(found->length_s == doctest::Approx(2599.0));
  CHECK(found->first == 0);
  CHECK(found->last == 259);
  CHECK_FALSE(frozen_stretch(MadeTrip{}.add(260, {}).take(), band)); // on an even road it may stand
  band.within_c = 0.3; // this vehicle's reading hardly ever moves
  CHECK_FALSE(frozen_stretch(still_trip(), band));
  band.within_c = 0.9;
  band.correlation_s = 150.0; // twenty looks take longer than the trip
  CHECK_FALSE(frozen_stretch(still_trip(), band));
  band.correlation_s = 120.0;
  band.origin = BandOrigin::profile;
  CHECK_FALSE(frozen_stretch(still_trip(), band));
}

TEST_CASE("far off its level nothing regulates, and a reading moves") {
  NormalBand band = made_band();
  band.correlation_s = 150.0;
  band.within_c = 0.3;
  const auto stands_at = [&](float reading_c, std::size_t blocks = 65) {
    return frozen_stretch(MadeTrip{}
                              .add(blocks, {reading_c, 35.0F, 20.0F})
                              .add(blocks, {reading_c, 35.0F, 90.0F})
                              .take(),
                          band);
  };
  const auto half_width = static_cast<float>(band.half_width_c);
  CHECK(stands_at(80.0F - 2.2F * half_width));
  CHECK(stands_at(80.0F + 2.2F * half_width));
  CHECK_FALSE(stands_at(80.0F - 1.8F * half_width));
  CHECK_FALSE(stands_at(80.0F - 2.2F * half_width, 55)); // 1100 s
}

TEST_CASE("a fine reading leaves its steps sooner than it forgets where it was") {
  NormalBand band = made_band();
  band.correlation_s = 300.0; // twenty looks are 6000 s
  Trip trip = still_trip();
  CHECK_FALSE(frozen_stretch(trip, band));
  trip.resolution_c = 0.1; // 0.3 K of 0.9 K: 2000 s
  CHECK(frozen_stretch(trip, band));
  trip.resolution_c = 0.15; // 3000 s
  CHECK_FALSE(frozen_stretch(trip, band));
}

TEST_CASE("without road speed the engine must have been warm, and the reading fine") {
  const auto still = [](float coolant_c, float before_c, double step_k = 0.1) {
    const Stretch unknown{coolant_c, k_not_logged, k_not_logged};
    Stretch before = unknown;
    before.coolant = before_c;
    Trip trip = MadeTrip{}.add(10, before).add(260, unknown).take();
    trip.resolution_c = step_k;
    return frozen_stretch(trip, made_band());
  };
  CHECK(still(80.0F, 80.0F));
  CHECK_FALSE(still(80.0F, 80.0F, 0.5)); // an engine that idles keeps within such a step
  CHECK_FALSE(still(25.0F, 25.0F));      // it may never have been started
  CHECK_FALSE(still(25.0F, 16.0F));
  CHECK(still(25.0F, 14.0F));
}

TEST_CASE("a sound vehicle that would have moved by many steps shows it within minutes") {
  const Trip trip = stands_for(60);
  const auto found = frozen_stretch(trip, silent_band(), swinging(trip, 3.0F, 6));
  REQUIRE(found);
  CHECK(found->first == 10);
  CHECK(found->last == 69);
  CHECK_FALSE(frozen_stretch(trip, silent_band()));
  CHECK_FALSE(frozen_stretch(trip, silent_band(), swinging(trip, 3.0F, 30))); // 2 times 3 K
}

TEST_CASE("how much movement is missed counts in steps of the reading") {
  Trip trip = stands_for(60);
  const SoundCourse course = swinging(trip, 1.5F, 10); // 5 or 6 times 1.5 K
  CHECK_FALSE(frozen_stretch(trip, silent_band(), course));
  trip.resolution_c = 0.5;
  CHECK(frozen_stretch(trip, silent_band(), course));
}

TEST_CASE("movement too small to turn a step of the reading over is not missed, however long") {
  const Trip trip = stands_for(360);
  CHECK_FALSE(frozen_stretch(trip, silent_band(), swinging(trip, 0.3F, 1)));
}

TEST_CASE("where the circuit was not run it tells nothing") {
  const Trip trip = stands_for(60);
  SoundCourse course = swinging(trip, 3.0F, 6);
  course.reading_c.assign(trip.blocks.size(), std::nanf(""));
  CHECK_FALSE(frozen_stretch(trip, silent_band(), course));
}

TEST_CASE("five minutes at one reading are worth a look, shorter ones are not") {
  CHECK_FALSE(may_be_frozen(stands_for(30)));
  CHECK(may_be_frozen(stands_for(31)));
  const Trip short_one = stands_for(30);
  CHECK_FALSE(frozen_stretch(short_one, silent_band(), swinging(short_one, 20.0F, 2)));
}

TEST_CASE("a sensor that freezes is found by the circuit, a sound one is not suspected") {
  CircuitDrive drive = driven_legs(5, 15.0, ordinary_legs());
  read_off(drive, usual_circuit(), 1.0);
  const auto found = [&](const CircuitDrive& driven) {
    Trip trip;
    trip.blocks = blocks_of(driven);
    trip.resolution_c = 1.0;
    const SoundCourse course =
        sound_course(circuit_trip(trip.blocks, {}), known_vehicle(), trip.blocks.size());
    return frozen_stretch(trip, silent_band(), course);
  };
  CHECK_FALSE(found(drive));
  for (std::size_t i = 40; i < 160; ++i) drive.blocks[i].coolant_cc = drive.blocks[40].coolant_cc;
  const auto frozen = found(drive);
  REQUIRE(frozen);
  CHECK(frozen->first >= 38);
  CHECK(frozen->first <= 40);
  CHECK(frozen->last >= 159);
  CHECK(frozen->last <= 161);
}
