// SPDX-License-Identifier: Apache-2.0
// When the leading cause is given as the verdict.
#include "diagnose/verdict.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Half an hour, too hot, with a valve that stays shut as the leading cause.
Judgement decided(const Observed& observed, double period_s = 1.0, double probability = 0.9) {
  Judgement j;
  j.judged_s = 1800.0;
  j.median_c = 92.0;
  j.hottest_c = 95.0;
  j.causes = {{Condition::thermostat_stuck_closed, probability, {}, {}, {}},
              {Condition::normal, 1.0 - probability, {}, {}, {}}};
  Episode episode;
  episode.direction = Direction::above;
  episode.end_s = episode.logged_s = 1700.0;
  episode.speed_kmh = 60.0;
  j.episodes.push_back(episode);
  Trip trip = MadeTrip{}.add(180, {92.0F}).take();
  trip.sample_period_s = period_s;
  decide(j, observed, trip, made_band(), {});
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

TEST_CASE("the further the rows are apart, the clearer a cause must be to be named") {
  Observed observed = hot();
  observed.load_logged = true;
  CHECK(decided(observed, 10.0, 0.7).condition == Condition::thermostat_stuck_closed);
  CHECK(decided(observed, 60.0, 0.7).condition != Condition::thermostat_stuck_closed);
  CHECK(decided(observed, 60.0, 0.9).condition == Condition::thermostat_stuck_closed);
  const Judgement blind = decided(observed, 300.0, 0.9);
  CHECK(blind.condition == Condition::undetermined);
  CHECK(blind.reasons.front().find("the rows are 5 min apart") == 0);
  // So hot that no thermostat regulates is too hot however few rows tell it.
  observed.beyond_regulation = true;
  CHECK(decided(observed, 300.0, 0.9).condition == Condition::overheating);
}

TEST_CASE("in deep cold a warm-up that never arrives is no proof that a thermostat shuts") {
  // Twenty minutes that the vehicle's own circuit follows, and less than a minute at the level.
  const auto judged_at = [](float outside_c, std::optional<double> reached_s) {
    Judgement j;
    j.judged_s = 0.0;
    j.causes = {{Condition::normal, 0.97, {}, {}, {}},
                {Condition::thermostat_stuck_open, 0.03, {}, {}, {}}};
    Observed observed;
    observed.circuit_s = 1200.0;
    observed.fits_circuit = true;
    Stretch warming{45.0F, 30.0F, 20.0F, outside_c};
    warming.phase = Phase::warm_up;
    Trip trip = MadeTrip{}.add(120, warming).take();
    trip.warm_ups.push_back({0.0, static_cast<double>(outside_c), reached_s, {}, {}, {}, {}});
    decide(j, observed, trip, made_band(), {});
    return j;
  };
  CHECK(judged_at(10.0F, std::nullopt).condition == Condition::normal);
  CHECK(judged_at(-15.0F, 1100.0).condition == Condition::normal);
  const Judgement cold = judged_at(-15.0F, std::nullopt);
  CHECK(cold.condition == Condition::undetermined);
  CHECK(cold.reasons.front().find("the cold explains") == 0);
}
