// SPDX-License-Identifier: Apache-2.0
// Where a thermostat opened against the learned drives, or against its rating.
#include "diagnose/usual_opening.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

Trip opened_at(double opened_c) {
  Trip trip;
  trip.warm_ups.push_back({0.0, 10.0, 600.0, {}, {}, {}, {}}); // one that shows nothing
  trip.warm_ups.push_back({0.0, 10.0, 600.0, {}, opened_c, {}, {}});
  return trip;
}

/// Opens at 80 °C, and so much off that from drive to drive.
NormalBand usual(double scatter_k) {
  NormalBand band = made_band();
  band.traits.opens_c = Trait{80.0, 0.0, scatter_k, 6};
  return band;
}

Opening kind(double opened_c, double scatter_k = 0.5) {
  return seen_opening(opened_at(opened_c), usual(scatter_k)).kind;
}

} // namespace

TEST_CASE("a thermostat's own tolerance is no news, more than it is") {
  CHECK(kind(82.9) == Opening::usual);
  CHECK(kind(77.1) == Opening::usual);
  CHECK(kind(83.0) == Opening::above);
  CHECK(kind(77.0) == Opening::below);
  CHECK(kind(84.9) == Opening::above);
  CHECK(kind(85.0) == Opening::far_above);
  CHECK(kind(75.0) == Opening::far_below);
}

TEST_CASE("where the drives differ much more is needed") {
  CHECK(kind(84.7, 1.6) == Opening::unseen); // neither usual nor surely off
  CHECK(kind(84.9, 1.6) == Opening::above);
  CHECK(kind(85.9, 2.0) == Opening::unseen);
  CHECK(kind(86.1, 2.0) == Opening::far_above);
}

TEST_CASE("how far off it was comes along") {
  const SeenOpening seen = seen_opening(opened_at(88.0), usual(0.5));
  CHECK(seen.opened_c == 88.0);
  CHECK(seen.off_k == doctest::Approx(8.0));
}

TEST_CASE("without learned openings the stamped rating serves, and the bend lies above it") {
  NormalBand band = made_band();
  CHECK(seen_opening(opened_at(82.0), band).kind == Opening::unseen);
  band.opens_c = 80.0;
  CHECK(seen_opening(opened_at(82.4), band).off_k == doctest::Approx(0.0));
  CHECK(seen_opening(opened_at(88.0), band).kind == Opening::unseen); // 5.6 K, scatter 1.9 K
  CHECK(seen_opening(opened_at(88.2), band).kind == Opening::far_above);
  CHECK(seen_opening(opened_at(76.8), band).kind == Opening::unseen);
  CHECK(seen_opening(opened_at(76.6), band).kind == Opening::far_below);
}

TEST_CASE("a warm-up that shows no opening says nothing") {
  Trip trip;
  CHECK(seen_opening(trip, usual(0.5)).kind == Opening::unseen);
  trip.warm_ups.push_back({0.0, 10.0, 600.0, {}, {}, {}, {}});
  CHECK(seen_opening(trip, usual(0.5)).kind == Opening::unseen);
}

TEST_CASE("of a reading that is restless in normal running no bend is the valve's alone") {
  NormalBand band = usual(0.5);
  CHECK(seen_opening(opened_at(88.0), band).kind == Opening::far_above);
  band.traits.roughness_k = Trait{1.0, 0.1, 0.1, 6};
  CHECK(seen_opening(opened_at(88.0), band).kind == Opening::unseen);
}
