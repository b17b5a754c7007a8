// SPDX-License-Identifier: Apache-2.0
// Where a trip was off its level: what stands out, and what a lack of columns leaves unsaid.
#include "diagnose/where_off.hpp"

#include "unit/diagnose/gathered_evidence.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

TEST_CASE("where it is hot sums to one under every cause") {
  Observed observed;
  observed.above = Excursion::part;
  const auto at = [&](float slow_c, float light_c, float heavy_c) {
    return evidence_of(observed, MadeTrip{}
                                     .add(60, {slow_c, 20.0F, 0.0F})
                                     .add(60, {light_c, 30.0F, 60.0F})
                                     .add(90, {heavy_c, 70.0F, 60.0F})
                                     .take());
  };
  Sums sums{};
  add(sums, containing(at(92.0F, 80.0F, 80.0F), "hot when slow"));
  add(sums, containing(at(80.0F, 81.0F, 98.0F), "hotter as the load rises"));
  add(sums, containing(at(90.0F, 90.0F, 92.0F), "hot at any speed"));
  check_ones(sums);
}

TEST_CASE("a fan's heat falls as the vehicle drives off, though the reading stays high") {
  Observed observed;
  observed.above = Excursion::lasting;
  const auto at = [&](const Stretch& standing, const Stretch& driving) {
    return evidence_of(observed, MadeTrip{}.add(90, driving).add(90, standing).take());
  };
  // With a load of a few tens of per cent the made band's limit is some 3 K.
  CHECK(has(at({94.0F, 25.0F, 0.0F}, {84.0F, 40.0F, 40.0F}), "hotter slow or standing"));
  CHECK_FALSE(has(at({94.0F, 25.0F, 0.0F}, {91.0F, 40.0F, 40.0F}), "hotter slow or standing"));
  // Sand, or a hill at walking pace: the load explains it.
  CHECK_FALSE(has(at({94.0F, 80.0F, 8.0F}, {84.0F, 40.0F, 40.0F}), "hotter slow or standing"));
}

TEST_CASE("without road speed and load nothing is said of where it is hot") {
  Observed observed;
  observed.above = Excursion::lasting;
  const auto evidence =
      evidence_of(observed, MadeTrip{}.add(180, {92.0F, k_not_logged, k_not_logged}).take());
  CHECK_FALSE(has(evidence, "hot at any"));
  CHECK_FALSE(has(evidence, "hot when"));
  CHECK_FALSE(has(evidence, "hotter"));
}

TEST_CASE("colder at speed speaks for a thermostat that hangs open") {
  MadeTrip made;
  for (int i = 0; i < 4; ++i) {
    made.add(30, {78.0F, 20.0F, 5.0F});
    made.add(30, {68.0F, 45.0F, 100.0F});
  }
  Observed observed;
  observed.below = Excursion::part;
  CHECK(has(evidence_of(observed, made.take()), "colder at road speed"));
  observed.below = Excursion::none;
  CHECK_FALSE(has(evidence_of(observed, made.take()), "colder at road speed"));
}
