// SPDX-License-Identifier: Apache-2.0
// When the leading cause is given as the verdict.
#include "diagnose/verdict.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Half an hour, too hot, with a valve that stays shut as the leading cause.
Judgement decided(const Observed& observed) {
  Judgement j;
  j.judged_s = 1800.0;
  j.median_c = 92.0;
  j.hottest_c = 95.0;
  j.causes = {{Condition::thermostat_stuck_closed, 0.9, {}, {}, {}},
              {Condition::normal, 0.1, {}, {}, {}}};
  Episode episode;
  episode.direction = Direction::above;
  episode.end_s = episode.logged_s = 1700.0;
  episode.speed_kmh = 60.0;
  j.episodes.push_back(episode);
  decide(j, observed, MadeTrip{}.add(180, {92.0F}).take(), made_band(), {});
  return j;
}

Observed hot() {
  Observed observed;
  observed.above = Excursion::lasting;
  observed.above_s = 1700.0;
  return observed;
}

} // namespace

TEST_CASE("hot without a load column is no thermostat's by name, unless it holds its level") {
  Observed observed = hot();
  const Judgement unknown = decided(observed);
  CHECK(unknown.condition == Condition::overheating);
  CHECK(unknown.action >= Action::service);
  CHECK(unknown.reasons.front().find("first suspect is thermostat-stuck-closed (90 %)") == 0);
  observed.holds_high_k = 3.0;
  CHECK(decided(observed).condition == Condition::thermostat_stuck_closed);
  observed = hot();
  observed.load_logged = true;
  CHECK(decided(observed).condition == Condition::thermostat_stuck_closed);
}
