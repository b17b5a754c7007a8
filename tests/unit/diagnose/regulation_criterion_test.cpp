// SPDX-License-Identifier: Apache-2.0
// The regulation's criterion for a cold thermostat: its limit, its nominal, and where it rests.
#include "diagnose/regulation_criterion.hpp"

#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

using namespace coolband;
using namespace coolband::testing;

namespace {

VehicleProfile rated(double opens_c) {
  VehicleProfile profile;
  profile.id = "V";
  profile.thermostat_opens_c = opens_c;
  return profile;
}

/// Two minutes cold, then 30 min at a level.
Trip from_cold(const Stretch& then, std::size_t blocks = 180) {
  Stretch cold = then;
  cold.coolant = 30.0F;
  cold.phase = Phase::warm_up;
  return MadeTrip{}.add(12, cold).add(blocks, then).take();
}

RegulationCheck check(const Trip& trip, const std::optional<VehicleProfile>& profile = rated(88.0),
                      Condition found = Condition::normal) {
  return regulation_criterion(trip, made_band(), profile, found);
}

/// Not evaluated, for this reason and no other.
bool rests(const RegulationCheck& check, const std::string& reason) {
  return check.outcome == CriterionOutcome::not_evaluated && check.because.size() == 1 &&
         check.because.front().find(reason) != std::string::npos;
}

} // namespace

TEST_CASE("the limit lies 11 °C below nominal: 77 °C for a thermostat of 88 °C") {
  // 20 °F, printed as 11 °C: 76.9 or 77 °C for 88 °C (13 CCR 1968.2 (e)(10), section from memory);
  // a maker's text has 71 °C for 82 °C (common practice, no source).
  CHECK(*check(from_cold({})).limit_c == doctest::Approx(77.0));
  CHECK(88.0 - 20.0 / 1.8 == doctest::Approx(*check(from_cold({})).limit_c).epsilon(0.002));
  CHECK(*check(from_cold({}), rated(82.0)).limit_c == doctest::Approx(71.0));
}

TEST_CASE("held at the limit is met, below it is not") {
  CHECK(check(from_cold({76.5F})).outcome == CriterionOutcome::below);
  CHECK(check(from_cold({77.0F})).outcome == CriterionOutcome::met);
  CHECK(*check(from_cold({76.5F})).reached_c == 76.5);
  CHECK(check(from_cold({76.5F})).because.empty());
}

TEST_CASE("only what was held for a minute counts as reached") {
  const auto peak = [](std::size_t blocks) {
    return MadeTrip{}
        .add(12, {30.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up})
        .add(90, {70.0F})
        .add(blocks, {85.0F})
        .add(90, {70.0F})
        .take();
  };
  CHECK(check(peak(5)).outcome == CriterionOutcome::below);
  CHECK(check(peak(6)).outcome == CriterionOutcome::met);
  CHECK(*check(peak(5)).reached_c == 70.0);
}

TEST_CASE("a minute is not put together across a stop or a hole in the log") {
  Trip trip = from_cold({70.0F});
  for (std::size_t i = 60; i < 66; ++i) trip.blocks.coolant[i] = 85.0F;
  REQUIRE(check(trip).outcome == CriterionOutcome::met);
  Trip stopped = trip;
  stopped.blocks.phase[63] = Phase::off;
  CHECK(check(stopped).outcome == CriterionOutcome::below);
  for (std::size_t i = 63; i < trip.blocks.size(); ++i) {
    trip.blocks.start_s[i] += 300.0;
    trip.blocks.end_s[i] += 300.0;
  }
  CHECK(check(trip).outcome == CriterionOutcome::below);
}

TEST_CASE("the nominal is the rating, else the fitted opening, else the centre of the band") {
  const Trip trip = from_cold({});
  NormalBand band = made_band();
  const auto nominal = [&](const std::optional<VehicleProfile>& profile = std::nullopt) {
    return regulation_criterion(trip, band, profile, Condition::normal);
  };
  CHECK(nominal().nominal_from == NominalSource::band_centre);
  CHECK(*nominal().nominal_c == band.centre_c);
  REQUIRE(nominal().because.size() == 1);
  CHECK(nominal().because.front().find("the centre of the band stands in") != std::string::npos);

  band.circuit.emplace();
  CircuitValue& opens = band.circuit->values[static_cast<std::size_t>(CircuitParameter::opens)];
  opens = {77.4, 76.0, 79.0, false}; // hardly more than the usual value
  CHECK(nominal().nominal_from == NominalSource::band_centre);
  opens.identified = true;
  CHECK(nominal().nominal_from == NominalSource::fitted_opening);
  CHECK(*nominal().nominal_c == 77.4);
  CHECK(nominal().because.empty());

  band.opens_c = 76.0; // the rating that the band was learned with
  CHECK(*nominal().nominal_c == 76.0);
  CHECK(nominal(rated(82.0)).nominal_from == NominalSource::rating);
  CHECK(*nominal(rated(82.0)).nominal_c == 82.0);
}

TEST_CASE("a trip that is judged by itself has no nominal") {
  NormalBand band = made_band();
  band.origin = BandOrigin::trip;
  const auto found = regulation_criterion(from_cold({}), band, std::nullopt, Condition::normal);
  CHECK(rests(found, "neither profile nor band"));
  CHECK_FALSE(found.limit_c);
  CHECK(regulation_criterion(from_cold({}), band, rated(88.0), Condition::normal).outcome ==
        CriterionOutcome::met);
}

TEST_CASE("in deep cold the criterion rests, whatever was reached") {
  CHECK(rests(check(from_cold({70.0F, 35.0F, 60.0F, -8.0F})), "-8 °C outside at the start"));
  CHECK(rests(check(from_cold({80.0F, 35.0F, 60.0F, -8.0F})), "-8 °C outside at the start"));
  CHECK(check(from_cold({70.0F, 35.0F, 60.0F, -7.0F})).outcome == CriterionOutcome::below);
}

TEST_CASE("what is not known keeps a drive from being found below, not from meeting the limit") {
  const Stretch no_ambient{70.0F, 35.0F, 60.0F, k_not_logged};
  CHECK(rests(check(from_cold(no_ambient)), "outside temperature is not known"));
  CHECK(check(from_cold({80.0F, 35.0F, 60.0F, k_not_logged})).outcome == CriterionOutcome::met);
  CHECK(rests(check(from_cold({70.0F, 35.0F, k_not_logged})), "without road speed"));
  CHECK(check(from_cold({80.0F, 35.0F, k_not_logged})).outcome == CriterionOutcome::met);
}

TEST_CASE("more than half of the time at idle lets it rest") {
  const auto idling = [](std::size_t blocks) {
    return MadeTrip{}
        .add(12, {30.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up})
        .add(blocks, {70.0F, 20.0F, 0.0F})
        .add(60, {70.0F})
        .take();
  };
  CHECK(check(idling(70)).outcome == CriterionOutcome::below);
  CHECK(rests(check(idling(80)), "idle for 53 % of the time"));
}

TEST_CASE("a failure takes as much running as a warm-up may take") {
  CHECK(rests(check(from_cold({70.0F}, 70)),
              "only 14 min of running: from such a start 15 min are needed"));
  CHECK(check(from_cold({70.0F}, 80)).outcome == CriterionOutcome::below);
  CHECK(check(from_cold({80.0F}, 10)).outcome == CriterionOutcome::met);

  // This vehicle warms up at 2 K a minute: 20 to 77 °C takes 28.5 min.
  Trip slow = from_cold({70.0F}, 120);
  slow.warm_ups = {{0.0, 20.0, {}, {}, {}, {}, {}}};
  NormalBand band = made_band();
  band.traits.warm_up = WarmUpNormal{{2.0, 0.1, 0.2, 8}, {}, {}};
  REQUIRE(*expected_warm_up_s(band, slow.warm_ups.front()) == doctest::Approx(28.5 * 60.0));
  CHECK(
      rests(regulation_criterion(slow, band, rated(88.0), Condition::normal), "29 min are needed"));
}

TEST_CASE("a warm-up that goes on when the log ends is no failure") {
  const auto rising = [](double k_per_min) {
    MadeTrip made;
    for (int i = 0; i < 150; ++i)
      made.add(1, {static_cast<float>(70.0 + k_per_min * (i - 150) / 6.0), 35.0F, 60.0F, 15.0F,
                   Phase::warm_up});
    return check(made.take());
  };
  CHECK(rests(rising(2.0), "still warming up at 69.7 °C when the log ends"));
  CHECK(rests(rising(0.5), "still warming up"));
  CHECK(rising(0.3).outcome == CriterionOutcome::below);
}

TEST_CASE("a warm start, a reading in doubt and a log without readings let it rest") {
  CHECK(rests(check(MadeTrip{}.add(180, {80.0F}).take()), "begins at 80.0 °C, past the limit"));
  CHECK(check(MadeTrip{}.add(180, {70.0F}).take()).outcome == CriterionOutcome::below);
  CHECK(rests(check(from_cold({70.0F}), rated(88.0), Condition::sensor_fault), "in doubt"));
  const Trip empty = MadeTrip{}.add(180, {k_not_logged}).take();
  CHECK(rests(check(empty), "no reading was held"));
  CHECK_FALSE(check(empty).reached_c);
}

TEST_CASE("every reason is given, and idling only where there was a warm-up") {
  const auto cold = check(MadeTrip{}.add(30, {50.0F, 20.0F, 0.0F, -20.0F}).take());
  CHECK(cold.outcome == CriterionOutcome::not_evaluated);
  CHECK(cold.because.size() == 3); // weather, idling, running
  const auto warm = check(MadeTrip{}.add(30, {80.0F, 20.0F, 0.0F, -20.0F}).take());
  CHECK(warm.because.size() == 2); // warm start, weather
}

TEST_CASE("the words of the criterion") {
  CHECK(name_of(CriterionOutcome::met) == "met");
  CHECK(name_of(CriterionOutcome::below) == "below");
  CHECK(name_of(CriterionOutcome::not_evaluated) == "not-evaluated");
  CHECK(name_of(NominalSource::rating) == "rating");
  CHECK(name_of(NominalSource::fitted_opening) == "fitted-opening");
  CHECK(name_of(NominalSource::band_centre) == "band-centre");
  CHECK(name_of(NominalSource::unknown) == "unknown");
}
