// SPDX-License-Identifier: Apache-2.0
// The level by drive: usual, not yet known, a new normal, or off.
#include "repair/verification.hpp"

#include "unit/repair/made_proofs.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

LevelCheck level_of(const ProofDrives& drives, const VerifyOptions& options = {}) {
  return check_level(drives, proof_band(), options);
}

ProofDrives shifted(std::initializer_list<double> residuals_k, double shift_k) {
  auto drives = proof_of(faulty_drives(3), sound_drives(residuals_k));
  move(drives, shift_k);
  return drives;
}

} // namespace

TEST_CASE("the margin is the thermostat's tolerance, or more where the vehicle's drives differ") {
  NormalBand band = made_band();
  CHECK(usual_margin_k(band) == doctest::Approx(3.0));
  band.between_c = 2.0;
  CHECK(usual_margin_k(band) == doctest::Approx(4.0));
}

TEST_CASE("three drives near the band's level are equivalent to it, one is not enough") {
  const LevelCheck three = level_of(proof_of({}, sound_drives({0.1, -0.4, 0.3})));
  CHECK(three.outcome == LevelOutcome::usual);
  CHECK(three.against_band.p() < 0.05);
  CHECK(three.more == 0);
  const LevelCheck one = level_of(proof_of({}, sound_drives({0.0})));
  CHECK(one.outcome == LevelOutcome::open);
  CHECK(one.more == 1);
  CHECK(level_of(proof_of({}, {})).outcome == LevelOutcome::unknown);
}

TEST_CASE("a difference that is not significant is no equivalence") {
  // Far from certain to differ from 0 (t about 1), and as far from shown to be within 3 K.
  const LevelCheck check = level_of(proof_of({}, sound_drives({-5.0, 6.0, 4.0})));
  CHECK(check.against_band.low < 0.0);
  CHECK(check.against_band.high > 0.0);
  CHECK(check.outcome == LevelOutcome::open);
  CHECK(check.more > 3);
}

TEST_CASE("drives that agree by luck are known no better than the vehicle's drives differ") {
  const LevelCheck check = level_of(proof_of({}, sound_drives({0.5, 0.5, 0.5})));
  // between_c of the band is 0.5 K.
  CHECK(check.against_band.error == doctest::Approx(std::hypot(0.5 / std::sqrt(3.0), 0.2)));
}

TEST_CASE("the margin is the user's where he gives one") {
  VerifyOptions options;
  options.margin_k = 0.5;
  CHECK(level_of(proof_of({}, sound_drives({0.6, 0.2, 0.7})), options).outcome ==
        LevelOutcome::open);
}

TEST_CASE("before and after are compared with each other as well") {
  const LevelCheck check = level_of(proof_of(faulty_drives(3), sound_drives({0.0, 0.4, -0.4})));
  REQUIRE(check.change);
  CHECK(check.change->difference == doctest::Approx(9.0));
  REQUIRE(check.before);
  CHECK(check.before->difference == doctest::Approx(-9.0));
}

TEST_CASE("a steady, healthy level elsewhere is a new normal") {
  VerifyOptions options;
  options.rating_c = 82.0;
  const LevelCheck check = level_of(shifted({6.1, 5.6, 6.3}, 6.0), options);
  CHECK(check.outcome == LevelOutcome::new_normal);
  CHECK(check.by_moved);
  CHECK(check.level_c == doctest::Approx(86.0));
}

TEST_CASE("a valve that opens late is steady, too: without a rating nothing is a new normal yet") {
  const LevelCheck check = level_of(shifted({6.1, 5.6, 6.3}, 6.0));
  CHECK(check.outcome == LevelOutcome::open);
  CHECK(check.more == 0);
  CHECK(check.objection.find("--rating") != std::string::npos);
}

TEST_CASE("a rating is held against what the old one made of this vehicle") {
  NormalBand band = proof_band();
  band.opens_c = 76.0; // holds 80 °C
  VerifyOptions options;
  const auto outcome = [&](double rating_c) {
    options.rating_c = rating_c;
    return check_level(shifted({6.1, 5.6, 6.3}, 6.0), band, options).outcome;
  };
  CHECK(outcome(82.0) == LevelOutcome::new_normal);
  CHECK(outcome(79.5) == LevelOutcome::new_normal);
  CHECK(outcome(76.0) == LevelOutcome::off);
  CHECK(outcome(88.0) == LevelOutcome::off);
}

TEST_CASE("with two drives, or without a warm-up, a new level may yet prove to be normal") {
  const LevelCheck two = level_of(shifted({6.1, 5.6}, 5.9));
  CHECK(two.outcome == LevelOutcome::open);
  CHECK(two.by_moved);
  CHECK(two.more == 1);
  auto warm = shifted({6.1, 5.6, 6.3}, 6.0);
  for (ProofDrive& drive : warm.moved->drives) drive.warm_up.reset();
  const LevelCheck unseen = level_of(warm);
  CHECK(unseen.outcome == LevelOutcome::open);
  CHECK(unseen.objection.find("warm-up from cold") != std::string::npos);
}

TEST_CASE("a level on the side of the fault is a new normal only with a rating that fits it") {
  const auto drives = shifted({-3.4, -3.5, -3.3}, -3.4);
  const LevelCheck check = level_of(drives);
  CHECK(check.outcome == LevelOutcome::off);
  CHECK(check.objection.find("--rating") != std::string::npos);
  VerifyOptions options;
  options.rating_c = 74.0;
  CHECK(level_of(drives, options).outcome == LevelOutcome::new_normal);
  options.rating_c = 82.0;
  CHECK(level_of(drives, options).outcome == LevelOutcome::off);
}

TEST_CASE("no new normal where no thermostat regulates, or where the level is not held") {
  CHECK(level_of(shifted({24.0, 25.0, 26.0}, 25.0)).objection.find("usual thermostats hold") == 0);
  auto faulty = shifted({6.1, 5.6, 6.3}, 6.0);
  faulty.moved->drives[1].showing = Showing::shows;
  CHECK(level_of(faulty).outcome == LevelOutcome::off);
  const LevelCheck wandering = level_of(shifted({2.0, 12.0, 5.0}, 6.3));
  CHECK(wandering.outcome == LevelOutcome::off);
  CHECK(wandering.objection == "it is not steady from drive to drive");
}
