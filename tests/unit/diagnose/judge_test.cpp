// SPDX-License-Identifier: Apache-2.0
// The verdict and its rules, and boiling.
#include "coolband/diagnose/judgement.hpp"

#include "diagnose/boiling.hpp"
#include "support/texts.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

using namespace coolband;
using namespace coolband::testing;

namespace {

bool has_code(const Judgement& judgement, const std::string& code) {
  return std::any_of(judgement.codes.begin(), judgement.codes.end(),
                     [&](const StandardCode& c) { return c.code == code; });
}

VehicleProfile profile_with(double cap_kpa, double glycol_pct) {
  VehicleProfile profile;
  profile.id = "V";
  profile.cap_kpa = cap_kpa;
  profile.glycol = glycol_pct > 0.0 ? Glycol::ethylene : Glycol::none;
  profile.concentration_vol_pct = glycol_pct;
  return profile;
}

constexpr Stretch k_warming{50.0F, 35.0F, 60.0F, 15.0F, Phase::warm_up};

} // namespace

TEST_CASE("a steady trip in its band is normal and there is nothing to do") {
  const Judgement j = judged(MadeTrip{}.add(180, {}).take());
  CHECK(j.condition == Condition::normal);
  CHECK(j.action == Action::none);
  CHECK(j.confidence > 0.8);
  CHECK(j.episodes.empty());
  CHECK(j.codes.empty());
  CHECK(*j.share_in_band == doctest::Approx(1.0));
  CHECK(*j.median_c == 80.0);
  CHECK(*j.hottest_c == 80.0);
  CHECK(j.judged_s == doctest::Approx(1800.0));
}

TEST_CASE("low, high and both in turn are the three ways of a bad thermostat") {
  const Judgement open = judged(MadeTrip{}.add(180, {70.0F}).take());
  CHECK(open.condition == Condition::thermostat_stuck_open);
  CHECK(open.action == Action::service);
  CHECK(has_code(open, "P0128"));
  CHECK(open.episodes.front().cause == Condition::thermostat_stuck_open);

  const Judgement shut = judged(MadeTrip{}.add(180, {90.0F}).take());
  CHECK(shut.condition == Condition::thermostat_stuck_closed);
  CHECK(has_code(shut, "P2181"));

  MadeTrip swings;
  swings.add(25, {71.0F});
  for (int i = 0; i < 3; ++i) swings.go_to(90.0F).add(25, {90.0F}).go_to(71.0F).add(25, {71.0F});
  const Judgement sticking = judged(swings.take());
  CHECK(sticking.condition == Condition::thermostat_sticking);
  CHECK(sticking.headline.find("the thermostat sticks: mostly 71.0 to 90.0") == 0);
}

TEST_CASE("too little warm running is undetermined, with the reason") {
  const Judgement j = judged(MadeTrip{}.add(60, k_warming).add(20, {70.0F}).take());
  CHECK(j.condition == Condition::undetermined);
  CHECK(j.confidence == 0.0);
  CHECK(j.headline == "undetermined: only 3 min 20 s of warm running: 5 min are needed for a "
                      "judgement");
}

TEST_CASE("a wild reading is a sensor fault however short the warm running") {
  Trip trip = MadeTrip{}.add(60, k_warming).add(20, {}).take();
  for (std::size_t i = 0; i < 6; ++i)
    trip.sensor_events.push_back({Quality::off_scale, 50 + 100 * i, 53 + 100 * i, 60.0, -40.0});
  const Judgement j = judged(trip);
  CHECK(j.condition == Condition::sensor_fault);
  CHECK(has_code(j, "P0118"));
  CHECK_FALSE(has_code(j, "P0117"));
  CHECK(j.episodes.front().direction == Direction::erratic);
}

TEST_CASE("near boiling is a reason to stop, whatever the cause") {
  // Water under a 90 kPa cap boils at 118 to 119 °C: IAPWS-IF97, by the reference tests.
  const auto profile = profile_with(90.0, 0.0);
  const Trip trip = MadeTrip{}.add(120, {}).add(30, {115.0F, 35.0F}).take();
  const Judgement j = judged(trip, made_band(), profile);
  REQUIRE(j.boiling.margin_c);
  CHECK(*j.boiling.margin_c < 5.0);
  CHECK(j.action == Action::stop);
  CHECK(j.condition != Condition::normal);
  CHECK(j.condition != Condition::undetermined);
  CHECK(mentions(j.reasons, "K below boiling"));
  CHECK(has_code(j, "P0217"));
}

TEST_CASE("near boiling, causes that all starve the engine are not told apart lightly") {
  const Judgement j = judged(MadeTrip{}.add(120, {}).add(60, {115.0F, 35.0F}).take(), made_band(),
                             profile_with(90.0, 0.0));
  REQUIRE(j.causes.front().probability < 0.9);
  CHECK(j.condition == Condition::overheating);
  CHECK((mentions(j.reasons, "as it would with another part") ||
         mentions(j.reasons, "no cause stands out")));
}

TEST_CASE("what boils, and what comes after, says nothing of the circuit") {
  const auto hypotheses = [](float after_c) {
    return judged(MadeTrip{}.add(60, {}).go_to(117.0F).add(60, {after_c, 35.0F}).take(),
                  made_band(), profile_with(90.0, 0.0))
        .hypotheses;
  };
  const auto one = hypotheses(117.0F);
  const auto other = hypotheses(112.0F);
  REQUIRE_FALSE(one.empty());
  REQUIRE(one.size() == other.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    CHECK(one[i].condition == other[i].condition);
    CHECK(one[i].log_evidence == doctest::Approx(other[i].log_evidence));
  }
}

TEST_CASE("above the band and rising towards boiling when the log ends is a reason to stop") {
  MadeTrip made;
  made.add(120, {});
  for (float c = 90.0F; c < 104.0F; c += 0.5F) made.add(1, {c});
  const Judgement rising = judged(made.take(), made_band(), profile_with(90.0, 0.0));
  CHECK(rising.action == Action::stop);
  CHECK(mentions(rising.reasons, "still rising"));
  const Judgement steady = judged(MadeTrip{}.add(120, {}).add(28, {103.0F}).take(), made_band(),
                                  profile_with(90.0, 0.0));
  CHECK_FALSE(mentions(steady.reasons, "still rising"));
}

TEST_CASE("nothing is normal while an excursion is left without an explanation") {
  const Judgement j = judged(MadeTrip{}.add(150, {}).add(30, {70.0F}).add(30, {}).take());
  CHECK(j.condition != Condition::normal);
}

TEST_CASE("a slight excursion is watched, not named") {
  MadeTrip made;
  made.add(120, {}).go_to(75.5F).add(30, {75.5F}).go_to(80.0F).add(60, {});
  const Judgement j = judged(made.take());
  CHECK((j.condition == Condition::normal || j.condition == Condition::undetermined));
  CHECK(j.action == Action::monitor);
}

TEST_CASE("an explained excursion leaves the verdict normal and is given as a reason") {
  const Judgement j =
      judged(MadeTrip{}.add(120, {}).add(60, {90.0F, 80.0F, 50.0F}).add(60, {}).take());
  CHECK(j.condition == Condition::normal);
  CHECK(j.action == Action::none);
  CHECK(mentions(j.reasons, "is explained by heavy-load (mean load 80 %)"));
  REQUIRE(j.episodes.size() == 1);
  CHECK(j.episodes[0].explained_by == Explanation::heavy_load);
  CHECK(j.episodes[0].cause == Condition::normal);
}

TEST_CASE("deep cold that explains a low reading would hide a thermostat: undetermined") {
  const Judgement j = judged(MadeTrip{}.add(180, {70.0F, 35.0F, 60.0F, -15.0F}).take());
  CHECK(j.condition == Condition::undetermined);
  CHECK(j.reasons.front().find("the cold explains") == 0);
}

TEST_CASE("a learned band is trusted more than a profile, and a profile more than the trip") {
  MadeTrip wandering;
  for (int i = 0; i < 18; ++i) wandering.add(10, {i % 2 == 0 ? 67.0F : 73.0F});
  const Trip trip = wandering.take();
  NormalBand band = made_band();
  const double learned = judged(trip, band).confidence;
  band.drives.resize(1);
  const double from_one = judged(trip, band).confidence;
  band.origin = BandOrigin::profile;
  const double profile = judged(trip, band).confidence;
  CHECK(learned > from_one);
  CHECK(learned > profile);
}

TEST_CASE("judged by itself, a trip at an unusual level is not called normal") {
  const auto by_itself = [](float level) {
    const Trip base = MadeTrip{}.add(180, {level}).take();
    Trip trip = base;
    trip.level_c = static_cast<double>(level);
    return judged(trip, *band_from_trip(trip));
  };
  CHECK(by_itself(85.0F).condition == Condition::normal);
  CHECK(by_itself(85.0F).headline.find("nothing stands out") == 0);
  CHECK(by_itself(73.0F).condition == Condition::undetermined);
  CHECK(by_itself(105.0F).condition == Condition::undetermined);
}

TEST_CASE("a trip without a band is undetermined, and claims no share") {
  const Trip trip = MadeTrip{}.add(90, k_warming).take();
  const Judgement j = judge_without_band(recording_for(trip), trip, std::nullopt);
  CHECK(j.condition == Condition::undetermined);
  CHECK_FALSE(j.share_in_band);
  CHECK(j.regulation.outcome == CriterionOutcome::not_evaluated);
}

TEST_CASE("boiling names every assumption that it had to make") {
  const Trip trip = MadeTrip{}.add(60, {}).take();
  const Boiling unknown = boiling_of(trip, std::nullopt, 90.0);
  CHECK(mentions(unknown.assumptions, "coolant mix unknown: 50 vol %"));
  CHECK(mentions(unknown.assumptions, "cap pressure unknown: 90 kPa"));
  CHECK_FALSE(mentions(unknown.assumptions, "altitude unknown"));
  CHECK(*unknown.margin_c == doctest::Approx(*unknown.point_c - 90.0));

  const Boiling known = boiling_of(trip, profile_with(100.0, 50.0), 90.0);
  CHECK_FALSE(mentions(known.assumptions, "unknown"));
  CHECK(mentions(known.assumptions, "with a leak or a weak cap"));

  // A share without a kind is better than none.
  VehicleProfile share;
  share.concentration_vol_pct = 30.0;
  const Boiling thin = boiling_of(trip, share, 90.0);
  CHECK(mentions(thin.assumptions, "kind of glycol unknown: ethylene assumed"));
  CHECK_FALSE(mentions(thin.assumptions, "coolant mix unknown"));
  CHECK(*thin.point_c < *unknown.point_c - 1.0);
  share.concentration_vol_pct = 0.0;
  CHECK_FALSE(mentions(boiling_of(trip, share, 90.0).assumptions, "glycol"));

  Trip flat = trip;
  for (float& altitude : flat.blocks.altitude) altitude = k_not_logged;
  CHECK(mentions(boiling_of(flat, std::nullopt, 90.0).assumptions, "sea level assumed"));
  CHECK_FALSE(boiling_of(trip, std::nullopt, std::nullopt).margin_c);
}

TEST_CASE("boiling is judged at the highest point of the trip") {
  const auto profile = profile_with(0.0, 0.0);
  const auto point = [&](float top_m) {
    Trip trip = MadeTrip{}.add(60, {}).take();
    trip.blocks.altitude[30] = top_m;
    return *boiling_of(trip, profile, 80.0).point_c;
  };
  CHECK(point(100.0F) == doctest::Approx(99.7).epsilon(0.002));
  // Standard atmosphere at 3000 m 70.1 kPa, steam tables 90 °C (both by the reference tests).
  CHECK(point(3000.0F) == doctest::Approx(90.0).epsilon(0.005));
}

TEST_CASE("the names of the contract") {
  CHECK(name_of(Condition::normal) == "normal");
  CHECK(name_of(Condition::thermostat_stuck_open) == "thermostat-stuck-open");
  CHECK(name_of(Condition::thermostat_stuck_closed) == "thermostat-stuck-closed");
  CHECK(name_of(Condition::thermostat_sticking) == "thermostat-sticking");
  CHECK(name_of(Condition::fan_not_cooling) == "fan-not-cooling");
  CHECK(name_of(Condition::radiator_restricted) == "radiator-restricted");
  CHECK(name_of(Condition::coolant_flow_low) == "coolant-flow-low");
  CHECK(name_of(Condition::air_or_low_coolant) == "air-or-low-coolant");
  CHECK(name_of(Condition::sensor_fault) == "sensor-fault");
  CHECK(name_of(Condition::overheating) == "overheating");
  CHECK(name_of(Condition::undetermined) == "undetermined");
  CHECK(name_of(Explanation::none).empty());
  CHECK(name_of(Explanation::heavy_load) == "heavy-load");
  CHECK(name_of(Explanation::cold_weather) == "cold-weather");
  CHECK(name_of(Explanation::hot_weather) == "hot-weather");
  CHECK(name_of(Explanation::warm_up) == "warm-up");
  CHECK(name_of(Explanation::restart) == "restart");
  CHECK(name_of(Action::monitor) == "monitor");
  CHECK(name_of(Action::stop) == "stop");
  CHECK(name_of(Direction::erratic) == "erratic");
}

TEST_CASE("the headline tells where it ran, or how far it went when its middle is sound") {
  CHECK(judged(MadeTrip{}.add(180, {70.0F}).take()).headline ==
        "the thermostat hangs open: ran at 70.0 °C where this vehicle's normal is 80.0 °C");
  MadeTrip later;
  CHECK(judged(later.add(150, {}).go_to(70.0F, 0.5F).add(100, {70.0F}).take()).headline ==
        "the thermostat hangs open: at times down to 70.0 °C where this vehicle's normal is "
        "80.0 °C");
}

TEST_CASE("less than ten kelvins from boiling: stop, though no cause is named") {
  const Judgement j = judged(MadeTrip{}.add(150, {}).add(30, {119.0F}).add(60, {}).take());
  REQUIRE(j.boiling.margin_c);
  CHECK(*j.boiling.margin_c < 10.0);
  CHECK(j.condition == Condition::overheating);
  CHECK(j.action == Action::stop);
  CHECK(mentions(j.reasons, "leaves only"));
}

TEST_CASE("a vehicle that stands cold is not accused") {
  Trip parked = MadeTrip{}.add(240, {18.0F, k_not_logged, k_not_logged}).take();
  for (float& rpm : parked.blocks.rpm) rpm = k_not_logged;
  const Judgement j = judged(parked);
  CHECK(j.condition == Condition::undetermined);
  CHECK(mentions(j.reasons, "nothing in the log shows that the engine ran"));
  for (float& rpm : parked.blocks.rpm) rpm = 900.0F;
  CHECK(judged(parked).condition == Condition::thermostat_stuck_open);
}

TEST_CASE("one wrong row is a logger's slip, a circuit that stays broken is the sensor") {
  Trip trip = MadeTrip{}.add(240, {}).take();
  trip.sensor_events = {{Quality::off_scale, 700, 700, 80.0, 6553.5}};
  const Judgement slip = judged(trip);
  CHECK(slip.condition == Condition::normal);
  CHECK(slip.episodes.empty());
  trip.sensor_events = {{Quality::off_scale, 100, trip.last_row, 80.0, -40.0}};
  CHECK(judged(trip).condition == Condition::sensor_fault);
}
