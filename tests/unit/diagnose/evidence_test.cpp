// SPDX-License-Identifier: Apache-2.0
// The evidence tables are probabilities, and evidence moves the causes the way it should.
#include "diagnose/evidence.hpp"

#include "diagnose/causes.hpp"
#include "diagnose/episodes.hpp"
#include "unit/diagnose/gathered_evidence.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

constexpr Excursion k_excursions[] = {Excursion::none, Excursion::slight, Excursion::part,
                                      Excursion::lasting};

/// Dips of 15 K for 30 s, with a minute between them.
Trip dipping_trip(std::size_t dips, float depth_c = 15.0F) {
  MadeTrip made;
  made.add(60, {});
  for (std::size_t i = 0; i < dips; ++i) made.add(3, {80.0F - depth_c}).add(6, {});
  return made.add(60, {}).take();
}

/// 2600 s at one reading while the road speed changes.
Trip frozen_trip() {
  return MadeTrip{}.add(130, {80.0F, 35.0F, 20.0F}).add(130, {80.0F, 35.0F, 90.0F}).take();
}

double probability(const std::vector<Cause>& causes, Condition condition) {
  return std::find_if(causes.begin(), causes.end(),
                      [&](const Cause& c) { return c.condition == condition; })
      ->probability;
}

} // namespace

TEST_CASE("what can be seen below the band sums to one under every cause") {
  Sums sums{};
  for (const Excursion excursion : k_excursions) {
    Observed observed;
    observed.below = excursion;
    add(sums, containing(evidence_of(observed, steady_trip()), "below the band"));
  }
  check_ones(sums);
}

TEST_CASE("what can be seen above the band sums to one under every cause") {
  Sums sums{};
  for (const Excursion excursion : k_excursions) {
    Observed observed;
    observed.above = excursion;
    add(sums, containing(evidence_of(observed, steady_trip()), "above the band"));
  }
  check_ones(sums);
}

TEST_CASE("what can be seen of the reading sums to one under every cause") {
  Sums sums{};
  for (const std::size_t events : {0U, 1U, 3U}) {
    Trip trip = steady_trip();
    trip.sensor_events.assign(events, {});
    add(sums, containing(evidence_of({}, trip, events), "faster than coolant can"));
  }
  add(sums, containing(evidence_of({}, frozen_trip()), "does not move at all"));
  Trip dead = steady_trip();
  dead.sensor_events = {{Quality::off_scale, 0, dead.last_row, 80.0, -40.0}};
  add(sums, containing(evidence_of({}, dead, 1), "broken circuit"));
  check_ones(sums);
}

TEST_CASE("how often the reading dips sums to one under every cause") {
  Sums sums{};
  for (const std::size_t dips : {0U, 1U, 5U})
    add(sums, containing(evidence_of({}, dipping_trip(dips)), " dip"));
  check_ones(sums);
}

TEST_CASE("without load and road speed a sound engine is more often below its band, not above it") {
  Observed observed;
  const Trip logged = MadeTrip{}.add(180, {}).take();
  const Trip blind = MadeTrip{}.add(180, k_coolant_only).take();
  for (const Excursion below : {Excursion::slight, Excursion::part, Excursion::lasting}) {
    observed.below = below;
    const auto open = [&](const Trip& trip) {
      return ratio(evidence_of(observed, trip), "below the band for",
                   Condition::thermostat_stuck_open, Condition::normal);
    };
    CHECK(open(blind) < open(logged));
    CHECK(open(blind) > 1.0);
    CHECK(has(evidence_of(observed, blind), "as when idling")); // no episode denies it
    CHECK_FALSE(has(evidence_of(observed, logged), "idling"));
  }
  Sums sums{};
  for (const Excursion below : k_excursions) {
    observed.below = below;
    add(sums, containing(evidence_of(observed, blind), "below the band"));
  }
  CHECK(sums[static_cast<std::size_t>(Condition::normal)] > 0.99);
  CHECK(sums[static_cast<std::size_t>(Condition::normal)] < 1.01);
}

TEST_CASE("how it fell tells idling from a radiator in the circuit") {
  Observed observed;
  observed.below = Excursion::part;
  const NormalBand band = made_band();
  const auto of = [&](float lowest_c, float step_k) {
    const Trip trip = MadeTrip{}
                          .add(60, k_coolant_only)
                          .go_to(lowest_c, step_k, k_coolant_only)
                          .go_to(80.0F, step_k, k_coolant_only)
                          .take();
    const JudgeOptions options;
    const auto deviations = deviations_from(trip, band, options);
    const auto episodes = find_episodes(trip, band, deviations, options);
    REQUIRE_FALSE(episodes.empty());
    const ReadingFaults reading{find_dips(trip, k_shut_below_c), std::nullopt, {}};
    return gather_evidence(observed, trip, band, episodes, deviations, reading);
  };
  CHECK(ratio(of(70.0F, 0.2F), "as when idling", Condition::normal,
              Condition::thermostat_stuck_open) > 3.0);
  CHECK(ratio(of(60.0F, 1.0F), "falls fast", Condition::thermostat_stuck_open, Condition::normal) >
        3.0);
}

TEST_CASE("hot from the arrival on is a valve's or a sensor's, later it may be a hill") {
  Observed observed;
  observed.above = Excursion::lasting;
  const Trip blind = MadeTrip{}.add(180, {92.0F, k_not_logged, k_not_logged}).take();
  const auto ratio_to_normal = [&](const std::string& part) {
    return ratio(evidence_of(observed, blind), part, Condition::thermostat_stuck_closed,
                 Condition::normal);
  };
  CHECK(ratio_to_normal("only later") < 0.5);
  observed.hot_from_arrival = true;
  CHECK(ratio_to_normal("as soon as") > 5.0);
  CHECK_FALSE(has(evidence_of(observed, MadeTrip{}.add(180, {92.0F}).take()), "as soon as"));
}

TEST_CASE("when it got hot is measured from the first warm reading on") {
  const NormalBand band = made_band();
  const auto from_arrival = [&](std::size_t sound, std::size_t hot, std::size_t after) {
    const Trip trip = MadeTrip{}.add(sound, {}).add(hot, {92.0F}).add(after, {}).take();
    return observe({}, trip, deviations_from(trip, band, {}), BandOrigin::learned).hot_from_arrival;
  };
  CHECK(from_arrival(18, 100, 0));
  CHECK_FALSE(from_arrival(19, 100, 0)); // 190 s
  CHECK(from_arrival(1, 75, 24));
  CHECK_FALSE(from_arrival(1, 74, 25)); // 74 %
  CHECK_FALSE(from_arrival(100, 0, 0));
}

TEST_CASE("a first opening above the usual is a valve's or a sensor's, no hill's and no fan's") {
  Observed observed;
  const Trip trip = MadeTrip{}.add(180, {}).take();
  Sums sums{};
  for (const Opening kind :
       {Opening::far_below, Opening::below, Opening::usual, Opening::above, Opening::far_above}) {
    observed.opening = {kind, 88.0, 8.0};
    add(sums, containing(evidence_of(observed, trip), "first opened near 88"));
  }
  check_ones(sums);
  observed.above = Excursion::lasting;
  const auto evidence = evidence_of(observed, trip);
  CHECK(has(evidence, "8 K above where it usually does"));
  CHECK(ratio(evidence, "first opened", Condition::thermostat_stuck_closed, Condition::normal) >
        50.0);
  CHECK(ratio(evidence, "first opened", Condition::thermostat_stuck_closed,
              Condition::fan_not_cooling) > 20.0);
  CHECK(ratio(evidence, "first opened", Condition::thermostat_stuck_closed,
              Condition::sensor_fault) < 2.0);
  observed.trusted = true; // the vehicle's own circuit has seen it
  CHECK_FALSE(has(evidence_of(observed, trip), "first opened"));
  observed.trusted = false;
  observed.opening = {};
  CHECK_FALSE(has(evidence_of(observed, trip), "first opened"));
}

TEST_CASE("a sensor that reads too high hot does not read what the air has when cold") {
  Observed observed;
  observed.above = Excursion::lasting;
  Trip trip = MadeTrip{}.add(180, {92.0F, k_not_logged}).take();
  const auto against_valve = [&](double start_c, const std::string& part) {
    trip.sanity.cold_soak = ColdSoak{ColdSoak::Outcome::unclear, start_c, 10.0, {}, {}};
    return ratio(evidence_of(observed, trip), part, Condition::sensor_fault,
                 Condition::thermostat_stuck_closed);
  };
  CHECK(against_valve(12.0, "what the air had") < 0.25);
  CHECK(against_valve(18.0, "8 K above the air") > 1.5);
  trip.sanity.cold_soak = std::nullopt;
  CHECK_FALSE(has(evidence_of(observed, trip), "the air"));
}

TEST_CASE("explained episodes do not count as observed, slight ones only as slight") {
  Deviations deviations;
  deviations.judged_s = 1800.0;
  Episode episode;
  episode.direction = Direction::below;
  episode.end_s = episode.logged_s = 600.0;
  episode.threshold_c = 3.5;
  episode.mean_deviation_c = -8.0;
  CHECK(observe({episode}, {}, deviations, BandOrigin::learned).below == Excursion::part);
  episode.mean_deviation_c = -4.5;
  CHECK(observe({episode}, {}, deviations, BandOrigin::learned).below == Excursion::slight);
  episode.end_s = episode.logged_s = 1500.0;
  CHECK(observe({episode}, {}, deviations, BandOrigin::learned).below == Excursion::lasting);
  CHECK(observe({episode}, {}, deviations, BandOrigin::profile).below == Excursion::slight);
  episode.explained_by = Explanation::cold_weather;
  const Observed observed = observe({episode}, {}, deviations, BandOrigin::learned);
  CHECK(observed.below == Excursion::none);
  CHECK(observed.explained_low_s == 1500.0);
}

TEST_CASE("causes are ranked, sum to one and carry their evidence") {
  Observed observed;
  observed.below = Excursion::lasting;
  observed.below_s = 1500.0;
  observed.below_mean_c = -9.0;
  const auto causes = rank_causes(evidence_of(observed, MadeTrip{}.add(180, {71.0F}).take()), {});
  REQUIRE(causes.size() == k_cause_count);
  double sum = 0.0;
  for (const Cause& cause : causes) sum += cause.probability;
  CHECK(sum == doctest::Approx(1.0).epsilon(1e-12));
  CHECK(std::is_sorted(causes.begin(), causes.end(), [](const Cause& a, const Cause& b) {
    return a.probability > b.probability;
  }));
  CHECK(causes.front().condition == Condition::thermostat_stuck_open);
  CHECK_FALSE(causes.front().evidence_for.empty());
  CHECK_FALSE(causes.front().confirm_by.empty());
}

TEST_CASE("each pattern makes its own cause the likeliest of the faults") {
  const auto ranked = [](Excursion below, Excursion above) {
    Observed observed;
    observed.below = below;
    observed.above = above;
    return rank_causes(evidence_of(observed, MadeTrip{}.add(180, {k_not_logged}).take()), {});
  };
  CHECK(ranked(Excursion::none, Excursion::none).front().condition == Condition::normal);
  CHECK(ranked(Excursion::lasting, Excursion::none).front().condition ==
        Condition::thermostat_stuck_open);
  CHECK(ranked(Excursion::none, Excursion::lasting).front().condition ==
        Condition::thermostat_stuck_closed);
  CHECK(ranked(Excursion::part, Excursion::part).front().condition ==
        Condition::thermostat_sticking);
}

TEST_CASE("habitual dips speak for air more than for any other cause") {
  Observed observed;
  observed.below = Excursion::part;
  const auto with = rank_causes(evidence_of(observed, dipping_trip(8)), {});
  const auto without = rank_causes(evidence_of(observed, steady_trip()), {});
  const auto gain = [&](Condition condition) {
    return probability(with, condition) / probability(without, condition);
  };
  for (const Cause& cause : with) {
    if (cause.condition == Condition::air_or_low_coolant) continue;
    CAPTURE(name_of(cause.condition));
    CHECK(gain(Condition::air_or_low_coolant) > 1.5 * gain(cause.condition));
  }
  CHECK(probability(with, Condition::air_or_low_coolant) >
        probability(with, Condition::thermostat_stuck_open));
  CHECK(probability(without, Condition::air_or_low_coolant) <
        probability(without, Condition::thermostat_stuck_open));
}

TEST_CASE("no evidence leaves the priors, and normal first") {
  const auto causes = rank_causes({}, {});
  CHECK(causes.front().condition == Condition::normal);
  CHECK(causes.front().probability == doctest::Approx(0.79));
}

TEST_CASE(
    "beside a circuit levels count for less, on the same side, and where it is hot is its own") {
  Observed observed;
  observed.above = Excursion::lasting;
  const Trip trip = MadeTrip{}.add(120, {92.0F, 30.0F, 60.0F}).add(60, {91.7F, 50.0F, 5.0F}).take();
  const auto ratio = [](const Evidence& evidence) {
    const auto at = [&](Condition c) { return evidence.likelihood[static_cast<std::size_t>(c)]; };
    return at(Condition::thermostat_stuck_closed) / at(Condition::normal);
  };
  const auto alone = evidence_of(observed, trip);
  observed.circuit_known = true;
  const auto beside = evidence_of(observed, trip);
  CHECK(ratio(containing(beside, "above the band")) > 1.0);
  CHECK(ratio(containing(beside, "above the band")) < ratio(containing(alone, "above the band")));
  // A circuit that speaks for a reading that is steadily wrong knows that such a one is clean;
  // where there is none, a trip that lies on one side all along does.
  const auto of_sensor = [&](Excursion above, bool circuit_known) {
    observed.above = above;
    observed.circuit_known = circuit_known;
    return containing(evidence_of(observed, trip), "faster than coolant can")
        .likelihood[static_cast<std::size_t>(Condition::sensor_fault)];
  };
  CHECK(of_sensor(Excursion::part, true) > of_sensor(Excursion::part, false));
  CHECK(of_sensor(Excursion::lasting, false) == of_sensor(Excursion::part, true));
}

TEST_CASE("a reading that is missing again and again speaks for the sensor") {
  const auto with = [](std::size_t times) {
    Trip trip = steady_trip();
    trip.sanity.missing = MissingReading{times, 0, 12.0};
    return evidence_of({}, trip);
  };
  CHECK_FALSE(has(with(2), "is missing"));
  const auto ratio = [](const Evidence& e) {
    return e.likelihood[static_cast<std::size_t>(Condition::sensor_fault)] / e.likelihood[0];
  };
  const double few = ratio(containing(with(5), "5 times the reading is missing, for up to 12 s"));
  const double many = ratio(containing(with(6), "6 times the reading is missing"));
  CHECK(few > 3.0);
  CHECK(many > 4.0 * few);
}

TEST_CASE("too cold at one level speaks for the sensor, wandering for a valve that hangs open") {
  Observed observed;
  observed.below = Excursion::lasting;
  const auto seen = [&](float one_c, float other_c) {
    MadeTrip trip;
    for (int i = 0; i < 20; ++i)
      trip.add(5, {i % 2 == 0 ? one_c : other_c, 30.0F, i % 2 == 0 ? 20.0F : 70.0F});
    return evidence_of(observed, trip.take());
  };
  const auto holds = containing(seen(69.0F, 71.0F), "only too low");
  const auto wanders = containing(seen(60.0F, 71.0F), "wanders");
  const auto at = [](const Evidence& e, Condition c) {
    return e.likelihood[static_cast<std::size_t>(c)];
  };
  for (std::size_t c = 0; c < k_cause_count; ++c)
    CHECK(holds.likelihood[c] + wanders.likelihood[c] == doctest::Approx(1.0));
  CHECK(at(holds, Condition::sensor_fault) > 5.0 * at(holds, Condition::thermostat_stuck_open));
  CHECK(at(wanders, Condition::sensor_fault) < at(wanders, Condition::thermostat_stuck_open));
  CHECK_FALSE(has(seen(69.0F, 80.0F), "only too low")); // for half of the time
  observed.circuit_known = true;                        // the circuit has seen that
  CHECK_FALSE(has(seen(69.0F, 71.0F), "only too low"));
}

TEST_CASE("a step of the reading speaks for the sensor, more than a clean reading against it") {
  const Trip trip = MadeTrip{}.add(120, {}).take();
  const NormalBand band = made_band();
  ReadingFaults reading{find_dips(trip, k_shut_below_c), frozen_stretch(trip, band), {true, 1}};
  const auto evidence =
      gather_evidence({}, trip, band, {}, deviations_from(trip, band, {}), reading);
  const auto& step = containing(evidence, "steps to another level").likelihood;
  const double for_sensor = step[static_cast<std::size_t>(Condition::sensor_fault)];
  for (std::size_t c = 0; c < k_cause_count; ++c) {
    if (c != static_cast<std::size_t>(Condition::sensor_fault)) CHECK(for_sensor > 20.0 * step[c]);
  }
}

TEST_CASE("too cold and too hot in turn is a valve's, unless the cold passes soon") {
  Observed observed;
  observed.below = observed.above = Excursion::part;
  const Trip trip = MadeTrip{}.add(240, {}).take();
  const NormalBand band = made_band();
  const ReadingFaults reading{find_dips(trip, k_shut_below_c), frozen_stretch(trip, band), {}};
  const auto in_turn = [&](double cold_s) {
    Episode cold;
    cold.direction = Direction::below;
    cold.start_s = 600.0;
    cold.end_s = 600.0 + cold_s;
    const auto evidence =
        gather_evidence(observed, trip, band, {cold}, deviations_from(trip, band, {}), reading);
    return std::any_of(evidence.begin(), evidence.end(), [](const Evidence& e) {
      return e.text.find("in turn") != std::string::npos &&
             e.likelihood[static_cast<std::size_t>(Condition::thermostat_sticking)] >
                 10.0 * e.likelihood[static_cast<std::size_t>(Condition::air_or_low_coolant)];
    });
  };
  CHECK(in_turn(400.0));
  CHECK_FALSE(in_turn(200.0)); // gas does that, too
}

TEST_CASE("cold to the end tells a valve that hangs open from one that sticks") {
  Observed observed;
  observed.below = Excursion::part;
  const Trip trip = MadeTrip{}.add(240, {}).take(); // 40 min
  const NormalBand band = made_band();
  const ReadingFaults reading{find_dips(trip, k_shut_below_c), frozen_stretch(trip, band), {}};
  const auto stays = [&](double from_s, double to_s) {
    Episode cold;
    cold.direction = Direction::below;
    cold.start_s = from_s;
    cold.end_s = to_s;
    const auto evidence =
        gather_evidence(observed, trip, band, {cold}, deviations_from(trip, band, {}), reading);
    return std::any_of(evidence.begin(), evidence.end(), [](const Evidence& e) {
      return e.text.find("still so at the end") != std::string::npos;
    });
  };
  CHECK(stays(1200.0, 2399.0));
  CHECK_FALSE(stays(1200.0, 2000.0)); // came back
  CHECK_FALSE(stays(2000.0, 2399.0)); // who knows what comes
}

TEST_CASE("an excursion above within the span speaks less against a sound vehicle without load") {
  Observed observed;
  observed.above = Excursion::part;
  const auto normal = [&](float load, bool beyond) {
    observed.beyond_regulation = beyond;
    Stretch stretch;
    stretch.load = load;
    const auto evidence = evidence_of(observed, MadeTrip{}.add(120, stretch).take());
    return containing(evidence, "above the band")
        .likelihood[static_cast<std::size_t>(Condition::normal)];
  };
  CHECK(normal(k_not_logged, false) > 5.0 * normal(35.0F, false));
  CHECK(normal(k_not_logged, true) == normal(35.0F, true)); // no hill explains that
}

TEST_CASE("dips with the thermostat shut speak for gas, and a habit of them more than one") {
  const auto warming = [](std::size_t dips) {
    MadeTrip made;
    made.add(30, {50.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up});
    for (std::size_t i = 0; i < dips; ++i) {
      made.add(2, {42.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up});
      made.add(6, {50.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up});
    }
    return made.add(60, {}).take();
  };
  const auto for_air = [&](std::size_t dips) {
    const auto all = evidence_of({}, warming(dips));
    const Evidence& evidence = containing(all, "thermostat still shut");
    for (const double likelihood : evidence.likelihood) {
      CHECK(likelihood > 0.0);
      CHECK(likelihood < 1.0);
    }
    return evidence.likelihood[static_cast<std::size_t>(Condition::air_or_low_coolant)] /
           evidence.likelihood[static_cast<std::size_t>(Condition::normal)];
  };
  CHECK_FALSE(has(evidence_of({}, warming(0)), "thermostat still shut"));
  CHECK(for_air(1) > 1.0);
  CHECK(for_air(4) > for_air(1));
}

TEST_CASE(
    "what the circuit says is weighed with the rest, and told of the causes that it speaks of") {
  CircuitEvidence circuit;
  circuit.hypotheses = {{Condition::radiator_restricted, "half is left", 0.9, 12.0, 1.0},
                        {Condition::coolant_flow_low, "a third is left", 2.5, 4.0, 1.0},
                        {Condition::normal, "nothing is wrong", 3.1, 0.0, 0.0}};
  circuit.log_evidence[static_cast<std::size_t>(Condition::radiator_restricted)] = 12.0;
  circuit.log_evidence[static_cast<std::size_t>(Condition::coolant_flow_low)] = 4.0;
  const auto causes = rank_causes({}, circuit);
  const auto cause = [&](Condition condition) {
    return *std::find_if(causes.begin(), causes.end(),
                         [&](const Cause& c) { return c.condition == condition; });
  };
  CHECK(causes.front().condition == Condition::radiator_restricted);
  CHECK(causes.front().evidence_for ==
        std::vector<std::string>{"the heat balance follows the readings within 0.9 K if half is "
                                 "left (sound vehicle: 3.1 K)"});
  CHECK(cause(Condition::coolant_flow_low).evidence_against ==
        std::vector<std::string>{"the heat balance does not fit: 2.5 K off at best"});
  CHECK(
      cause(Condition::normal).evidence_against ==
      std::vector<std::string>{"the heat balance of a sound vehicle misses the readings by 3.1 K"});
  CHECK(cause(Condition::sensor_fault).evidence_for.empty());
  double sum = 0.0;
  for (const Cause& c : causes) sum += c.probability;
  CHECK(sum == doctest::Approx(1.0));
}

TEST_CASE("how long the warm-up took is evidence, and much longer ones leave the level no news") {
  Sums driven{};
  Sums alone{};
  Observed observed;
  for (const double took_s : {600.0, 1000.0, 1300.0, 1600.0}) {
    observed.warm_up = WarmUpTime{took_s, 600.0, true, true};
    add(driven, containing(evidence_of(observed, steady_trip()), "the warm-up took"));
    observed.warm_up->driven = false;
    add(alone, containing(evidence_of(observed, steady_trip()), "the warm-up took"));
  }
  check_ones(driven);
  check_ones(alone);
  const auto open = [&](double took_s, bool at_work) {
    observed.warm_up = WarmUpTime{took_s, 600.0, true, at_work};
    return ratio(evidence_of(observed, steady_trip()), "the warm-up took",
                 Condition::thermostat_stuck_open, Condition::normal);
  };
  CHECK(open(600.0, true) < 1.0);
  CHECK(open(1000.0, true) > 1.0);
  CHECK(open(1300.0, true) > open(1000.0, true));
  CHECK(open(1600.0, true) > open(1300.0, true));
  CHECK(open(1600.0, true) > open(1600.0, false)); // it may have idled
  CHECK_FALSE(has(evidence_of(observed, steady_trip()), "never below the band"));
  observed.warm_up = WarmUpTime{1000.0, 600.0, true, true};
  CHECK(has(evidence_of(observed, steady_trip()), "never below the band"));
  observed.warm_up = WarmUpTime{1600.0, 600.0, false, true};
  CHECK(has(evidence_of(observed, steady_trip()), "the warm-up was not over after 27 min"));
  observed.below = Excursion::lasting; // its level has told
  CHECK_FALSE(has(evidence_of(observed, steady_trip()), "the warm-up was not over"));
  observed.warm_up->reached = true;
  CHECK(has(evidence_of(observed, steady_trip()), "the warm-up took"));
  observed.warm_up->driven = false; // what idled is low once warm, too
  CHECK_FALSE(has(evidence_of(observed, steady_trip()), "the warm-up took"));
  observed.below = Excursion::none;
  CHECK(has(evidence_of(observed, steady_trip()), "the warm-up took"));
  observed.explained_low_s = 300.0;
  CHECK_FALSE(has(evidence_of(observed, steady_trip()), "the warm-up took"));
  observed.explained_low_s = 0.0;
  const double alone_at_work = open(1600.0, true);
  observed.circuit_asked = true; // it has seen the warm-up, too
  CHECK(open(1600.0, true) == doctest::Approx(std::sqrt(alone_at_work)));
  observed.warm_up->driven = false;
  CHECK_FALSE(has(evidence_of(observed, steady_trip()), "the warm-up took"));
  observed.below = Excursion::none;
  observed.trusted = true; // the circuit has seen it
  CHECK_FALSE(has(evidence_of(observed, steady_trip()), "the warm-up took"));
}

TEST_CASE("beside a circuit a valve still does nothing that it cannot do") {
  Observed observed;
  observed.circuit_known = observed.trusted = true;
  const Trip trip = steady_trip();
  observed.above = Excursion::part;
  CHECK(ratio(evidence_of(observed, trip), "above the band for", Condition::thermostat_sticking,
              Condition::thermostat_stuck_open) > 50.0);
  observed.above = Excursion::slight;
  CHECK(ratio(evidence_of(observed, trip), "above the band for", Condition::thermostat_sticking,
              Condition::thermostat_stuck_open) < 2.0);
  observed.above = Excursion::none;
  observed.below = Excursion::part;
  CHECK(ratio(evidence_of(observed, trip), "below the band for", Condition::thermostat_sticking,
              Condition::thermostat_stuck_closed) > 30.0);
  CHECK(ratio(evidence_of(observed, trip), "below the band for", Condition::thermostat_sticking,
              Condition::fan_not_cooling) < 3.0);
}
