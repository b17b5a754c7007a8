// SPDX-License-Identifier: Apache-2.0
// Which drives count for and against a fault that may still be there.
#include "repair/verification.hpp"

#include "unit/repair/made_proofs.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

FaultCheck fault_of(const ProofDrives& drives) { return check_fault(drives, drives.after, {}); }

} // namespace

TEST_CASE("clean drives before count only where they could have shown the fault") {
  auto before = faulty_drives(2);
  before.push_back(sound_drive(0.0));
  before.push_back(sound_drive(0.0));
  before.back().unable = {{Condition::thermostat_stuck_open, "30 °C outside"}};
  before.push_back(sound_drive(0.0));
  before.back().showing = Showing::cannot_tell;
  const FaultCheck check = fault_of(proof_of(before, sound_drives({0.0})));
  CHECK(check.rate.shown == 2);
  CHECK(check.rate.able == 3);
  REQUIRE(check.share);
  CHECK(check.share->low > 0.1);
  CHECK(check.share->high < 1.0);
}

TEST_CASE("one faulty drive of one is no certainty that the next would show it") {
  const FaultCheck check = fault_of(proof_of(faulty_drives(1), sound_drives({0.0})));
  CHECK(check.missed == doctest::Approx(0.25));
  CHECK(check.more == 4);
}

TEST_CASE("clean drives after that could not have shown it do not lower the chance") {
  auto after = sound_drives({0.0, 0.0, 0.0});
  for (ProofDrive& drive : after) drive.unable = {{Condition::thermostat_stuck_open, "too short"}};
  const FaultCheck check = fault_of(proof_of(faulty_drives(3), after));
  CHECK(check.clean == 0);
  CHECK(check.unable == 3);
  CHECK(check.missed == doctest::Approx(1.0));
}

TEST_CASE("the faults of before are named, the most frequent first") {
  auto before = faulty_drives(1);
  for (int i = 0; i < 2; ++i) {
    before.push_back(faulty_drive());
    before.back().condition = Condition::fan_not_cooling;
  }
  const FaultCheck check = fault_of(proof_of(before, sound_drives({0.0})));
  REQUIRE(check.before.size() == 2);
  CHECK(check.before[0] == Condition::fan_not_cooling);
}

TEST_CASE("only drives that show a fault name one") {
  auto before = faulty_drives(1);
  before.push_back(sound_drive(0.0));
  before.push_back(faulty_drive());
  before.back().condition = Condition::fan_not_cooling;
  before.back().showing = Showing::cannot_tell;
  const FaultCheck check = fault_of(proof_of(before, sound_drives({0.0})));
  CHECK(check.before == std::vector<Condition>{Condition::thermostat_stuck_open});
}

TEST_CASE("air that left within two clean drives is no fault of the repair") {
  auto after = sound_drives({0.0, 0.0, 0.0});
  after[0].showing = Showing::shows;
  after[0].condition = Condition::air_or_low_coolant;
  CHECK(fault_of(proof_of(faulty_drives(3), after)).shows.empty());
  std::swap(after[0], after[1]);
  CHECK(fault_of(proof_of(faulty_drives(3), after)).shows.size() == 1);
  std::swap(after[0], after[1]);
  auto air_before = faulty_drives(3);
  air_before[0].condition = Condition::air_or_low_coolant;
  CHECK(fault_of(proof_of(air_before, after)).shows.size() == 1);
}
