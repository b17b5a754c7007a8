// SPDX-License-Identifier: Apache-2.0
// When the leading cause is given as the verdict.
#include "diagnose/verdict.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Half an hour, too hot, with a valve that stays shut as the leading cause.
Judgement decided(const Observed& observed, double period_s = 1.0, double probability = 0.9,
                  std::vector<Hypothesis> hypotheses = {}) {
  Judgement j;
  j.hypotheses = std::move(hypotheses);
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
  CHECK(unknown.reasons.front().find("first suspect is thermostat stuck closed (90 %)") == 0);
  observed.holds_high_k = 3.0;
  CHECK(decided(observed).condition == Condition::thermostat_stuck_closed);
  observed = hot();
  observed.load_logged = true;
  CHECK(decided(observed).condition == Condition::thermostat_stuck_closed);
}

TEST_CASE("beside the vehicle's own circuit a valve's account leads the other parts', or is loud") {
  Observed observed = hot();
  observed.load_logged = observed.circuit_known = observed.trusted = true;
  const auto with = [&](double valve, Condition part, double other, bool regulates = false,
                        double active_share = 1.0) {
    Hypothesis by_valve;
    by_valve.condition = Condition::thermostat_stuck_closed;
    by_valve.log_evidence = valve;
    by_valve.regulates = regulates;
    by_valve.active_share = active_share;
    Hypothesis by_other;
    by_other.condition = part;
    by_other.log_evidence = other;
    return decided(observed, 1.0, 0.95, {by_valve, by_other}).condition;
  };
  CHECK(with(20.0, Condition::radiator_restricted, 14.0) == Condition::thermostat_stuck_closed);
  CHECK(with(20.0, Condition::radiator_restricted, 16.0) == Condition::overheating);
  CHECK(with(20.0, Condition::coolant_flow_low, 16.0) == Condition::overheating);
  CHECK(with(20.0, Condition::air_or_low_coolant, 16.0) == Condition::overheating);
  CHECK(with(20.0, Condition::sensor_fault, 16.0) == Condition::thermostat_stuck_closed);
  CHECK(with(40.0, Condition::radiator_restricted, 38.0) == Condition::thermostat_stuck_closed);
  CHECK(with(20.0, Condition::coolant_flow_low, 18.0, true) == Condition::thermostat_stuck_closed);
  // Nor does what is at work now and then regulate at another level.
  CHECK(with(20.0, Condition::coolant_flow_low, 18.0, true, 0.4) == Condition::overheating);
  observed.trusted = false; // a circuit that is not this vehicle's
  CHECK(with(20.0, Condition::radiator_restricted, 16.0) == Condition::thermostat_stuck_closed);
}

TEST_CASE("a valve that regulates too high may be told as well by an account that says more") {
  Observed observed = hot();
  observed.load_logged = observed.circuit_known = observed.trusted = true;
  const auto with = [&](double late_alone) {
    Hypothesis late_and_shut;
    late_and_shut.condition = Condition::thermostat_stuck_closed;
    late_and_shut.log_evidence = 20.0;
    Hypothesis late = late_and_shut;
    late.log_evidence = late_alone;
    late.regulates = true;
    Hypothesis pump;
    pump.condition = Condition::coolant_flow_low;
    pump.log_evidence = 17.0;
    return decided(observed, 1.0, 0.95, {late_and_shut, late, pump}).condition;
  };
  CHECK(with(18.0) == Condition::thermostat_stuck_closed);
  CHECK(with(16.0) == Condition::overheating);
}

TEST_CASE("no part but a valve lets coolant by while it should be shut") {
  Observed observed = hot();
  observed.load_logged = observed.circuit_known = observed.trusted = true;
  const auto with = [&](double beside, bool passes_shut) {
    Judgement j;
    j.judged_s = 1800.0;
    j.median_c = 92.0;
    j.hottest_c = 95.0;
    j.causes = {{Condition::thermostat_sticking, 0.9, {}, {}, {}},
                {Condition::normal, 0.1, {}, {}, {}}};
    Episode laden;
    laden.direction = Direction::above;
    laden.end_s = laden.logged_s = 1700.0;
    laden.speed_kmh = 60.0;
    laden.load_pct = 80.0; // where a radiator fails, too
    j.episodes.push_back(laden);
    Hypothesis part_open;
    part_open.condition = Condition::thermostat_sticking;
    part_open.log_evidence = 20.0;
    part_open.passes_shut = passes_shut;
    Hypothesis core;
    core.condition = Condition::radiator_restricted;
    core.log_evidence = beside;
    j.hypotheses = {part_open, core};
    decide(j, observed, MadeTrip{}.add(180, {92.0F, 80.0F}).take(), made_band(), {});
    return j.condition;
  };
  CHECK(with(10.0, true) == Condition::thermostat_sticking);
  CHECK(with(16.0, true) == Condition::overheating);
  CHECK(with(10.0, false) == Condition::overheating);
}

TEST_CASE("a valve that hangs open and shows in the warm-up alone is said to be late, not low") {
  const auto after = [](double took_s, bool reached) {
    Judgement j;
    j.judged_s = 1800.0;
    j.median_c = 80.0;
    j.causes = {{Condition::thermostat_stuck_open, 0.9, {}, {}, {}},
                {Condition::normal, 0.1, {}, {}, {}}};
    Observed observed;
    observed.warm_up = WarmUpTime{took_s, 600.0, reached, true};
    decide(j, observed, MadeTrip{}.add(180, {80.0F}).take(), made_band(), {});
    return j;
  };
  const Judgement late = after(1620.0, true);
  CHECK(late.condition == Condition::thermostat_stuck_open);
  CHECK(late.headline == "the thermostat hangs open: regulated after 27 min of warming up where "
                         "this vehicle takes 10 min");
  CHECK(after(1620.0, false).headline.find("did not regulate within 27 min") != std::string::npos);
  CHECK(after(1300.0, true).condition == Condition::undetermined); // no reading left normal
}

TEST_CASE("a headline says how far it went on the side of the fault") {
  const auto headline = [](double median_c, double extreme_c) {
    Judgement j;
    j.judged_s = 1800.0;
    j.median_c = median_c;
    j.causes = {{Condition::thermostat_stuck_open, 0.95, {}, {}, {}},
                {Condition::normal, 0.05, {}, {}, {}}};
    Episode low;
    low.direction = Direction::below;
    low.end_s = low.logged_s = 900.0;
    low.extreme_c = extreme_c;
    low.worst_deviation_c = -11.2;
    j.episodes.push_back(low);
    decide(j, {}, MadeTrip{}.add(180, {80.0F}).take(), made_band(), {});
    REQUIRE(j.condition == Condition::thermostat_stuck_open);
    return j.headline;
  };
  CHECK(headline(70.0, 66.0) ==
        "the thermostat hangs open: ran at 70.0 °C where this vehicle's normal is 80.0 °C");
  CHECK(
      headline(79.0, 66.0) ==
      "the thermostat hangs open: at times down to 66.0 °C where this vehicle's normal is 80.0 °C");
  CHECK(
      headline(85.0, 66.0) ==
      "the thermostat hangs open: at times down to 66.0 °C where this vehicle's normal is 80.0 °C");
  // Low for its load only.
  CHECK(headline(85.0, 81.0) ==
        "the thermostat hangs open: at times 11.2 K colder than it runs at such a load and in such "
        "weather (this vehicle's normal is 80.0 °C)");
}

TEST_CASE("near boiling a valve that hangs shut and one that sticks there are one part") {
  const auto near_boiling = [](Condition second) {
    Judgement j;
    j.judged_s = 1800.0;
    j.median_c = 110.0;
    j.hottest_c = 123.0;
    j.boiling.point_c = 126.0;
    j.boiling.margin_c = 3.0;
    j.causes = {{Condition::thermostat_stuck_closed, 0.8, {}, {}, {}}, {second, 0.2, {}, {}, {}}};
    Episode episode;
    episode.direction = Direction::above;
    episode.end_s = episode.logged_s = 1700.0;
    episode.speed_kmh = 60.0;
    j.episodes.push_back(episode);
    Observed observed = hot();
    observed.load_logged = true;
    decide(j, observed, MadeTrip{}.add(180, {110.0F}).take(), made_band(), {});
    return j;
  };
  const Judgement one_part = near_boiling(Condition::thermostat_sticking);
  CHECK(one_part.condition == Condition::thermostat_stuck_closed);
  CHECK(one_part.action == Action::stop);
  CHECK(near_boiling(Condition::coolant_flow_low).condition == Condition::overheating);
}

TEST_CASE("in deep cold all ways in which a thermostat lets an engine go cold count together") {
  const auto cold = [](double open, double sticking) {
    Judgement j;
    j.judged_s = 1800.0;
    j.median_c = 35.0;
    j.causes = {{Condition::thermostat_stuck_open, open, {}, {}, {}},
                {Condition::thermostat_sticking, sticking, {}, {}, {}},
                {Condition::normal, 1.0 - open - sticking, {}, {}, {}}};
    Episode episode;
    episode.direction = Direction::below;
    episode.end_s = episode.logged_s = 1700.0;
    j.episodes.push_back(episode);
    Observed observed;
    observed.below = Excursion::lasting;
    observed.below_s = 1700.0;
    decide(j, observed, MadeTrip{}.add(180, {35.0F, 35.0F, 60.0F, -20.0F}).take(), made_band(), {});
    return j.condition;
  };
  CHECK(cold(0.88, 0.1) == Condition::thermostat_stuck_open);
  CHECK(cold(0.88, 0.05) == Condition::undetermined);
}

TEST_CASE("where idling alone explains the low reading, that is said") {
  Judgement j;
  j.judged_s = 1800.0;
  j.causes = {{Condition::normal, 0.97, {}, {}, {}}};
  Episode episode;
  episode.direction = Direction::below;
  episode.end_s = episode.logged_s = 900.0;
  episode.explained_by = Explanation::slow_running;
  j.episodes.push_back(episode);
  const Trip trip = MadeTrip{}.add(180, {70.0F, 15.0F, 0.0F}).take();
  const Observed observed =
      observe(j.episodes, trip, deviations_from(trip, made_band(), {}), BandOrigin::learned);
  decide(j, observed, trip, made_band(), {});
  CHECK(j.condition == Condition::undetermined);
  CHECK(j.reasons.front() == "idling or standing explains the low reading, but it would hide a "
                             "thermostat that hangs open just as well");
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
    observed.trusted = observed.fits_circuit = true;
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

TEST_CASE("a short drive is judged by its warm-up where the vehicle's own circuit was asked") {
  const auto judged = [](bool trusted, double log_evidence) {
    Judgement j;
    j.judged_s = 120.0;
    j.causes = {{Condition::thermostat_stuck_open, 0.9, {}, {}, {}},
                {Condition::normal, 0.1, {}, {}, {}}};
    Episode low;
    low.direction = Direction::below;
    low.end_s = low.logged_s = 100.0;
    j.episodes.push_back(low);
    Hypothesis open;
    open.condition = Condition::thermostat_stuck_open;
    open.log_evidence = log_evidence;
    j.hypotheses = {open};
    Observed observed;
    observed.trusted = trusted;
    observed.circuit_s = 1200.0;
    observed.below = Excursion::lasting;
    decide(j, observed, MadeTrip{}.add(120, {55.0F}).take(), made_band(), {});
    return j.condition;
  };
  CHECK(judged(true, 12.0) == Condition::thermostat_stuck_open);
  CHECK(judged(false, 12.0) == Condition::undetermined);
}

TEST_CASE("and anywhere by one that was very long though the engine was at work") {
  const auto judged = [](double took_s, bool driven) {
    Judgement j;
    j.judged_s = 120.0;
    j.causes = {{Condition::thermostat_stuck_open, 0.9, {}, {}, {}},
                {Condition::normal, 0.1, {}, {}, {}}};
    Observed observed;
    observed.warm_up = WarmUpTime{took_s, 600.0, true, driven};
    decide(j, observed, MadeTrip{}.add(120, {79.0F}).take(), made_band(), {});
    return j.condition;
  };
  CHECK(judged(1600.0, true) == Condition::thermostat_stuck_open);
  CHECK(judged(1400.0, true) == Condition::undetermined);
  CHECK(judged(1600.0, false) == Condition::undetermined);
}

TEST_CASE("a fan is named beyond where a sound one comes in, or by the vehicle's own circuit") {
  const auto judged = [](double worst_k, bool trusted) {
    Judgement j;
    j.judged_s = 1800.0;
    j.median_c = 88.0;
    j.hottest_c = 80.0 + worst_k;
    j.causes = {{Condition::fan_not_cooling, 0.85, {}, {}, {}},
                {Condition::normal, 0.15, {}, {}, {}}};
    Episode standing;
    standing.direction = Direction::above;
    standing.end_s = standing.logged_s = 1500.0;
    standing.speed_kmh = 0.0;
    standing.worst_deviation_c = worst_k;
    j.episodes.push_back(standing);
    Observed observed = hot();
    observed.load_logged = true;
    observed.trusted = observed.circuit_known = trusted;
    decide(j, observed, MadeTrip{}.add(180, {88.0F, 10.0F, 0.0F}).take(), made_band(), {});
    return j;
  };
  CHECK(judged(16.0, false).condition == Condition::fan_not_cooling);
  CHECK(judged(12.0, true).condition == Condition::fan_not_cooling);
  const Judgement waits = judged(12.0, false);
  CHECK(waits.condition == Condition::undetermined);
  CHECK(waits.action == Action::service);
  CHECK(waits.reasons.front().find("the fan is first suspect, but") == 0);
}
