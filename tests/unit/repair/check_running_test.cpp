// SPDX-License-Identifier: Apache-2.0
// Warm-ups against the usual time, and the signs of air.
#include "repair/verification.hpp"

#include "unit/repair/made_proofs.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;
using namespace coolband::testing;

namespace {

std::vector<ProofDrive> with_warm_ups(std::initializer_list<double> reached_s) {
  std::vector<ProofDrive> drives;
  for (const double value : reached_s) {
    drives.push_back(sound_drive(0.0));
    drives.back().warm_up->reached_s = value;
  }
  return drives;
}

AirCheck air_of(const std::vector<ProofDrive>& drives) {
  return check_air(drives, proof_band(), 3.0);
}

} // namespace

TEST_CASE("warm-ups are usual where their mean is shown to be, by drive") {
  CHECK(check_warm_ups(with_warm_ups({590.0, 640.0}), proof_band()).outcome ==
        WarmUpOutcome::usual);
  const WarmUpCheck between = check_warm_ups(with_warm_ups({710.0, 760.0}), proof_band());
  CHECK(between.outcome == WarmUpOutcome::open);
  CHECK(between.ratio == doctest::Approx(1.225));
  CHECK(between.ratio_interval->high > 1.25);
  CHECK(check_warm_ups(with_warm_ups({840.0, 860.0}), proof_band()).outcome == WarmUpOutcome::slow);
}

// By hand: ratios 1.0 and 1.1; the band's 8 drives differ by 0.15/6 and are known to 0.05/6; the
// pooled variance is (7 · 0.025² + 2 · 0.05²) / 8, t(0.95, 8) = 1.8595 (any table of Student's t).
TEST_CASE("the interval of the mean pools the scatter of the band and of these drives") {
  const WarmUpCheck check = check_warm_ups(with_warm_ups({600.0, 660.0}), proof_band());
  const double pooled = (7.0 * 0.025 * 0.025 + 2.0 * 0.05 * 0.05) / 8.0;
  const double reach = 1.8595 * std::sqrt(pooled / 2.0 + std::pow(0.05 / 6.0, 2));
  REQUIRE(check.ratio_interval);
  CHECK(check.ratio_interval->low == doctest::Approx(1.05 - reach).epsilon(1e-5));
  CHECK(check.ratio_interval->high == doctest::Approx(1.05 + reach).epsilon(1e-5));
}

TEST_CASE("a vehicle whose own warm-ups differ may take longer") {
  NormalBand band = proof_band();
  band.traits.warm_up->rate_k_per_min.scatter = 0.9; // 15 %
  CHECK(check_warm_ups({}, band).allowed_ratio == doctest::Approx(1.45));
}

TEST_CASE("one that never ends is slow, one that the log cuts off tells nothing") {
  auto drives = with_warm_ups({600.0});
  drives[0].warm_up->reached_s.reset();
  CHECK(check_warm_ups(drives, proof_band()).outcome == WarmUpOutcome::slow);
  drives[0].warm_up->given_time = false;
  CHECK(check_warm_ups(drives, proof_band()).outcome == WarmUpOutcome::not_seen);
  CHECK(check_warm_ups(drives, made_band()).outcome == WarmUpOutcome::unknown);
  auto mixed = with_warm_ups({600.0, 600.0, 600.0});
  mixed[1].warm_up->reached_s.reset();
  CHECK(check_warm_ups(mixed, proof_band()).outcome == WarmUpOutcome::open);
}

TEST_CASE("dips, swings and a probable cause are signs of air, the latest two drives count") {
  auto drives = sound_drives({0.0, 0.1, -0.1, 0.0});
  CHECK(air_of(drives).signs.empty());
  drives[0].dips_shut = 1;
  CHECK(air_of(drives).signs.size() == 1);
  CHECK_FALSE(air_of(drives).recent);
  drives[3].dips = 3;
  CHECK(air_of(drives).recent);
  drives[3].dips = 2;
  CHECK_FALSE(air_of(drives).recent);
  drives[2].amplitude_k = 3.5;
  CHECK(air_of(drives).recent);
  drives[2].amplitude_k = 1.0;
  drives[2].probability[static_cast<std::size_t>(Condition::air_or_low_coolant)] = 0.3;
  CHECK(air_of(drives).recent);
}

TEST_CASE("a swing is measured by the vehicle's own") {
  NormalBand band = proof_band();
  band.traits.amplitude_k = Trait{3.0, 0.1, 0.3, 8};
  auto drives = sound_drives({0.0, 0.0});
  drives[1].amplitude_k = 4.5;
  CHECK_FALSE(check_air(drives, band, 3.0).recent);
  drives[1].amplitude_k = 5.5;
  CHECK(check_air(drives, band, 3.0).recent);
}

TEST_CASE("a level that goes one way from drive to drive is told, scatter is not") {
  const auto falling = air_of(sound_drives({1.5, 1.1, 0.4, 0.1, -0.5}));
  REQUIRE(falling.drift_k);
  CHECK(*falling.drift_k == doctest::Approx(-2.0).epsilon(0.05));
  CHECK_FALSE(air_of(sound_drives({0.5, -0.6, 0.4, -0.1, 0.5})).drift_k);
  CHECK_FALSE(air_of(sound_drives({0.3, 0.2, 0.1, 0.0, -0.1})).drift_k); // steady, but little
  CHECK_FALSE(air_of(sound_drives({2.0, 1.0, 0.0})).drift_k);            // too few
}

// By hand: 0.82 and 0.86; the scatter is pooled of eight degrees of freedom at 0.03 and of these,
// t(0.95, 9) = 1.8331 (any table of Student's t).
TEST_CASE("the pace up to the opening tells a valve that lets coolant by") {
  auto drives = with_warm_ups({600.0, 600.0});
  drives[0].shut_pace = Pace{0.82, 0.05};
  drives[1].shut_pace = Pace{0.86, 0.05};
  const WarmUpCheck leaking = check_warm_ups(drives, proof_band());
  const double reach = 1.8331 * std::sqrt((8.0 * 0.03 * 0.03 + 2.0 * 0.02 * 0.02) / 9.0 / 2.0);
  REQUIRE(leaking.pace_interval);
  CHECK(leaking.pace_interval->high == doctest::Approx(0.84 + reach).epsilon(1e-4));
  CHECK(leaking.leaks());
  drives[0].shut_pace = Pace{0.97, 0.05};
  drives[1].shut_pace = Pace{1.01, 0.05};
  CHECK_FALSE(check_warm_ups(drives, proof_band()).may_leak());
  drives[0].shut_pace = Pace{0.91, 0.05};
  CHECK(check_warm_ups({drives[0]}, proof_band()).may_leak());
  CHECK_FALSE(check_warm_ups({drives[0]}, proof_band()).leaks());
  drives[0].shut_pace = Pace{0.5, 0.2}; // the circuit does not foretell it: no evidence
  CHECK_FALSE(check_warm_ups({drives[0]}, proof_band()).pace);
}
