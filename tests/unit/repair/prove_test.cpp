// SPDX-License-Identifier: Apache-2.0
// The whole proof on drives of the tests' own simulator, which shares no code with the library's
// thermal circuit.
#include "repair/prove.hpp"

#include "support/repair_drives.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace coolband;
using namespace coolband::testing;

namespace {

const NormalBand& usual_band() {
  static const NormalBand band = [] {
    NormalBand learned = *learned_band({}, 100);
    learned.opens_c = 76.0; // as a profile tells it
    return learned;
  }();
  return band;
}

Side faulty(std::size_t drives, std::uint64_t seed = 200) {
  return {{}, {Fault::stuck_open}, drives, seed, 12.0};
}

} // namespace

TEST_CASE("a thermostat that hung open, replaced: verified, at the usual level") {
  const Verification v = proven(usual_band(), faulty(3), {{}, {}, 4, 300, 12.0});
  CHECK(v.state == VerifyState::verified);
  CHECK(v.fault.rate.shown == 3);
  CHECK(v.level.outcome == LevelOutcome::usual);
  CHECK(v.warm_up.outcome == WarmUpOutcome::usual);
  CHECK(std::abs(v.level.against_band.difference) < 1.5);
  CHECK_FALSE(v.drives.moved);
}

TEST_CASE("sound, but too few drives: not yet") {
  const Verification v = proven(usual_band(), faulty(1), {{}, {}, 2, 300, 12.0});
  CHECK(v.state == VerifyState::not_yet);
  CHECK(v.fault.shows.empty());
}

TEST_CASE("the same fault after the repair: not verified") {
  const Verification v = proven(usual_band(), faulty(2), faulty(3, 400));
  CHECK(v.state == VerifyState::not_verified);
  CHECK(v.fault.shows.size() == 3);
  CHECK(v.level.outcome == LevelOutcome::off);
}

TEST_CASE("a thermostat of another rating: a new normal near where it should be") {
  Vehicle other;
  other.opens_c += 6.0;
  VerifyOptions options;
  options.rating_c = other.opens_c;
  const Verification v = proven(usual_band(), faulty(3), {other, {}, 4, 300, 12.0}, options);
  CHECK(v.state == VerifyState::verified);
  CHECK(v.level.outcome == LevelOutcome::new_normal);
  REQUIRE(v.level.level_c);
  CHECK(*v.level.level_c - usual_band().centre_c == doctest::Approx(6.0).epsilon(0.25));
}

TEST_CASE("a new thermostat that hangs shut is no new normal, told or not told its rating") {
  const Side shut{{}, {Fault::stuck_closed}, 4, 300, 12.0};
  CHECK(proven(usual_band(), faulty(3), shut).state != VerifyState::verified);
  VerifyOptions options;
  options.rating_c = 76.0;
  const Verification v = proven(usual_band(), faulty(3), shut, options);
  CHECK(v.state == VerifyState::not_verified);
  CHECK(v.level.outcome == LevelOutcome::off);
}

TEST_CASE("air left after the refill: not verified yet") {
  const Verification v = proven(usual_band(), faulty(3), {{}, {Fault::low_coolant}, 4, 300, 12.0});
  CHECK(v.state != VerifyState::verified);
  CHECK((v.air.recent || !v.fault.shows.empty() || v.fault.doubtful > 0));
}

TEST_CASE("a valve that hangs open half as far is no cure, though no drive shows it") {
  const Verification v =
      proven(usual_band(), faulty(3), {{}, {Fault::stuck_open, 0.5}, 4, 300, 12.0});
  CHECK(v.state != VerifyState::verified);
  REQUIRE(v.warm_up.pace);
  CHECK(*v.warm_up.pace < 0.9);
  const Verification cured = proven(usual_band(), faulty(3), {{}, {}, 4, 300, 12.0});
  REQUIRE(cured.warm_up.pace);
  CHECK(*cured.warm_up.pace == doctest::Approx(1.0).epsilon(0.05));
}

TEST_CASE("in weather in which the fault would not show, clean drives prove nothing of it") {
  const Verification v = proven(usual_band(), faulty(3), {{}, {}, 4, 300, 40.0});
  CHECK(v.fault.clean == 0);
  CHECK(v.fault.unable == 4);
  CHECK(v.state == VerifyState::not_yet);
}

TEST_CASE("a moved band keeps what conditions do and forgets where the valve opens") {
  const NormalBand moved = moved_band(usual_band(), 5.0, 82.0);
  CHECK(moved.centre_c == doctest::Approx(usual_band().centre_c + 5.0));
  CHECK(moved.load_c_per_pct == usual_band().load_c_per_pct);
  CHECK(moved.opens_c == 82.0);
  CHECK_FALSE(moved.circuit);
  CHECK(moved.drive_count() == usual_band().drive_count());
}
