// SPDX-License-Identifier: Apache-2.0
// One state from four checks, and what it says to do.
#include "repair/verification.hpp"

#include "support/texts.hpp"
#include "unit/repair/made_proofs.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coolband;
using namespace coolband::testing;

namespace {

Verification verified(const ProofDrives& drives, const VerifyOptions& options = {}) {
  return verify(drives, proof_band(), options);
}

} // namespace

TEST_CASE("a fault that is gone, at the usual level, is verified") {
  const Verification v = verified(proof_of(faulty_drives(3), sound_drives({0.1, -0.4, 0.3})));
  CHECK(v.state == VerifyState::verified);
  CHECK(v.headline ==
        "verified: thermostat stuck open is gone, and it runs at its normal, 80.0 °C");
  CHECK(v.reasons.size() == 4);
  CHECK(v.next_steps.empty());
  CHECK(v.cautions.empty());
}

TEST_CASE("too few clean drives are not yet enough, and it says which are needed") {
  const Verification v = verified(proof_of(faulty_drives(1), sound_drives({0.1, -0.4})));
  CHECK(v.state == VerifyState::not_yet);
  CHECK(v.headline == "not yet verified: 3 more drives are needed");
  CHECK(
      mentions(v.next_steps,
               "log 3 more drives, each a drive of 30 min or more at 20 °C outside "
               "or colder, 5 min of it on end at 55 % load or less and 50 km/h or more once warm"));
  CHECK(mentions(v.next_steps, "check the coolant level when cold"));
  CHECK(mentions(v.cautions, "never open a hot cooling system"));
}

TEST_CASE("a drive that shows the fault again outweighs any number of clean ones") {
  auto after = sound_drives({0.1, -0.4, 0.3, 0.0, 0.2, 0.1, -0.1, 0.3});
  after.insert(after.begin() + 4, faulty_drive(-8.0, "again.csv"));
  const Verification v = verified(proof_of(faulty_drives(3), after));
  CHECK(v.state == VerifyState::not_verified);
  CHECK(v.headline == "not verified: again.csv still shows thermostat stuck open");
  CHECK(mentions(v.next_steps, "coolband check again.csv"));
  CHECK(mentions(v.next_steps, "hold the sensor against an independent thermometer"));
}

TEST_CASE("another fault after the repair is told as another one") {
  auto after = sound_drives({0.1, -0.4, 0.3});
  after[1].showing = Showing::shows;
  after[1].condition = Condition::fan_not_cooling;
  const Verification v = verified(proof_of(faulty_drives(3), after));
  CHECK(v.headline == "not verified: s2.csv now shows fan not cooling");
  CHECK_FALSE(mentions(v.next_steps, "another thermostat"));
}

TEST_CASE("without a known fault only the present is judged, and that is said") {
  const Verification v = verified(proof_of({}, sound_drives({0.1, -0.4, 0.3})));
  CHECK(v.state == VerifyState::not_yet);
  CHECK(mentions(v.next_steps, "name the fault: --before LOG"));
  CHECK_FALSE(v.checks.front().state);
  CHECK(v.headline.find("no fault is known from before") != std::string::npos);
  CHECK(mentions(v.limits, "no drives from before"));
  const Verification healthy =
      verified(proof_of(sound_drives({0.0}), sound_drives({0.1, -0.4, 0.3})));
  CHECK(mentions(healthy.limits, "no drive from before shows a fault"));
}

TEST_CASE("a share that the user knows goes before the count") {
  VerifyOptions options;
  options.shows = 0.5;
  const auto before = faulty_drives(3);
  CHECK(verified(proof_of(before, sound_drives({0.1, 0.0, 0.2, -0.1})), options).state ==
        VerifyState::not_yet);
  CHECK(verified(proof_of(before, sound_drives({0.1, 0.0, 0.2, -0.1, 0.0})), options).state ==
        VerifyState::verified);
}

TEST_CASE("how often it showed, without where, proves nothing of any drive") {
  VerifyOptions options;
  options.shows = 0.9;
  const Verification v = verified(proof_of({}, sound_drives({0.1, 0.0, 0.2, -0.1, 0.0})), options);
  CHECK(v.state == VerifyState::not_yet);
  CHECK(v.headline == "not yet verified: no log shows when the fault shows");
  CHECK(mentions(v.next_steps, "give a log that shows the fault with --before"));
}

TEST_CASE("of several faults the one that is shown least decides") {
  auto before = faulty_drives(3);
  for (int i = 0; i < 3; ++i) {
    before.push_back(faulty_drive());
    before.back().condition = Condition::fan_not_cooling;
  }
  auto after = sound_drives({0.1, 0.0, 0.2, -0.1, 0.0});
  CHECK(verified(proof_of(before, after)).state == VerifyState::verified);
  for (ProofDrive& drive : after) drive.unable = {{Condition::fan_not_cooling, "no idle"}};
  const Verification v = verified(proof_of(before, after));
  CHECK(v.state == VerifyState::not_yet);
  CHECK(v.fault.hardest == Condition::fan_not_cooling);
  CHECK(v.fault.missed == doctest::Approx(1.0));
  CHECK(mentions(v.limits, "s1.csv could not have shown the fault: no idle"));
}

TEST_CASE("a drive that cannot be judged and may have the old fault begins the count anew") {
  auto after = sound_drives({0.1, 0.0, 0.2, -0.1, 0.0, 0.1});
  CHECK(verified(proof_of(faulty_drives(3), after)).state == VerifyState::verified);
  after[4].showing = Showing::cannot_tell;
  auto& open = after[4].probability[static_cast<std::size_t>(Condition::thermostat_stuck_open)];
  open = 0.19;
  CHECK(verified(proof_of(faulty_drives(3), after)).fault.clean == 5);
  open = 0.3;
  const Verification v = verified(proof_of(faulty_drives(3), after));
  CHECK(v.fault.clean == 1);
  CHECK(v.state == VerifyState::not_yet);
  CHECK(mentions(v.reasons,
                 "counted after s5.csv, which could not be judged: thermostat stuck open "
                 "is 30 % likely in it"));
}

TEST_CASE("what no drive shows by itself may show in all of them together") {
  auto after = sound_drives({0.1, 0.0, 0.2, -0.1, 0.0});
  for (ProofDrive& drive : after) {
    drive.trace.emplace();
    drive.trace->at(static_cast<std::size_t>(Condition::thermostat_stuck_open)) = 0.9;
    drive.trace->at(static_cast<std::size_t>(Condition::fan_not_cooling)) = 9.0; // was not it
  }
  CHECK(verified(proof_of(faulty_drives(3), after)).state == VerifyState::verified);
  for (ProofDrive& drive : after)
    drive.trace->at(static_cast<std::size_t>(Condition::thermostat_stuck_open)) = 1.1;
  const Verification v = verified(proof_of(faulty_drives(3), after));
  CHECK(v.state == VerifyState::not_yet);
  CHECK(v.headline == "not yet verified: a lesser fault of the same kind may be left");
  CHECK(v.fault.trace_drives == 5);
}

TEST_CASE("drives that nobody could judge prove nothing") {
  auto after = sound_drives({0.1, -0.4, 0.3});
  for (ProofDrive& drive : after) {
    drive.showing = Showing::cannot_tell;
    drive.headline = "undetermined: only 3 min of warm running";
    drive.residual_k.reset();
  }
  const Verification v = verified(proof_of({}, after));
  CHECK(v.state == VerifyState::not_yet);
  CHECK(mentions(v.limits, "s1.csv could not be judged: only 3 min of warm running"));
  CHECK(mentions(v.reasons, "no drive since could be judged"));
}

TEST_CASE("what left the band without an explanation holds the proof up") {
  auto after = sound_drives({0.1, -0.4, 0.3});
  after[2].showing = Showing::doubtful;
  after[2].condition = Condition::undetermined;
  const Verification v = verified(proof_of(faulty_drives(3), after));
  CHECK(v.state == VerifyState::not_yet);
  CHECK(mentions(v.reasons, "s3.csv left the normal band without an explanation"));
}

TEST_CASE("a warm-up that takes too long is no proof, one that is not seen not yet") {
  auto slow = sound_drives({0.1, -0.4, 0.3});
  for (ProofDrive& drive : slow) drive.warm_up->reached_s = 900.0;
  const Verification v = verified(proof_of(faulty_drives(3), slow));
  CHECK(v.headline == "not verified: it warms up too slowly");
  auto unseen = sound_drives({0.1, -0.4, 0.3});
  for (ProofDrive& drive : unseen) drive.warm_up.reset();
  const Verification u = verified(proof_of(faulty_drives(3), unseen));
  CHECK(u.state == VerifyState::not_yet);
  CHECK(mentions(u.next_steps, "log 1 more drive of 30 min or more; start it from cold"));
}

TEST_CASE("a new normal is verified with the advice to learn it") {
  auto drives = proof_of(faulty_drives(3), sound_drives({6.1, 5.6, 6.3}));
  for (ProofDrive& drive : drives.after) {
    drive.showing = Showing::shows;
    drive.condition = Condition::thermostat_stuck_closed;
    drive.start = "2031-05-06T07:00:00";
  }
  move(drives, 6.0);
  VerifyOptions options;
  const Verification unknown = verified(drives, options);
  CHECK(unknown.state == VerifyState::not_yet);
  CHECK(mentions(unknown.reasons, "with --rating"));
  options.rating_c = 82.0;
  const Verification v = verified(drives, options);
  CHECK(v.state == VerifyState::verified);
  CHECK(v.headline.find("at a new, steady normal of 86.0 °C") != std::string::npos);
  CHECK(mentions(v.next_steps, "--vehicle V --band FILE --update --since 2031-05-06"));
}

TEST_CASE("drives that the band was learned from are pointed out") {
  ProofDrives drives = proof_of(faulty_drives(3), sound_drives({0.1, -0.4, 0.3, 9.0}));
  drives.after[3].learned = true;
  const Verification v = verify(drives, proof_band(), {});
  CHECK(mentions(v.limits, "the band was learned from 1 of these drives (s4.csv)"));
  CHECK(v.level.drives == 3);
  CHECK(v.fault.clean == 3);
  CHECK(v.warm_up.seen == 3);
}

TEST_CASE("logs that could not be read are counted") {
  auto drives = proof_of(faulty_drives(3), sound_drives({0.1, -0.4, 0.3}));
  drives.unread = 2;
  CHECK(mentions(verified(drives).limits, "2 logs could not be read and are not in this"));
}

TEST_CASE("a valve that still lets coolant by holds the proof of a valve up, and of nothing else") {
  auto after = sound_drives({0.1, 0.0, 0.2, -0.1, 0.0});
  for (ProofDrive& drive : after) drive.shut_pace = Pace{0.82, 0.05};
  const Verification v = verified(proof_of(faulty_drives(3), after));
  CHECK(v.state == VerifyState::not_yet);
  CHECK(v.headline == "not yet verified: coolant may still pass a valve that should be shut");
  auto fan = faulty_drives(3);
  for (ProofDrive& drive : fan) drive.condition = Condition::fan_not_cooling;
  CHECK(verified(proof_of(fan, after)).state == VerifyState::verified);
}

TEST_CASE("by a band that knows no warm-up an open valve is not shown to be cured") {
  NormalBand band = proof_band();
  band.traits.warm_up.reset();
  const auto after = sound_drives({0.1, 0.0, 0.2, -0.1, 0.0});
  const Verification v = verify(proof_of(faulty_drives(3), after), band, {});
  CHECK(v.state == VerifyState::not_yet);
  CHECK(mentions(v.reasons, "a valve that hangs a little open shows in nothing else"));
}

TEST_CASE("a band that was learned since the fault proves nothing") {
  auto before = faulty_drives(2);
  for (ProofDrive& drive : before) drive.start = "2031-05-01T08:00:00";
  NormalBand band = proof_band();
  for (DriveSummary& drive : band.drives) drive.start = "2031-05-03T08:00:00";
  const auto after = sound_drives({0.1, 0.0, 0.2, -0.1, 0.0});
  const Verification v = verify(proof_of(before, after), band, {});
  CHECK(v.level.by_itself);
  CHECK(v.state == VerifyState::not_yet);
  CHECK(v.headline == "not yet verified: the band is one of since the fault");
  band.drives.front().start = "2031-04-03T08:00:00";
  CHECK(verify(proof_of(before, after), band, {}).state == VerifyState::verified);
}

TEST_CASE("good drives by a band of two drives make it surer, not less sure") {
  NormalBand band = proof_band();
  band.drives.resize(2);
  band.centre_error_c = 0.7;
  double last = 1.0;
  for (const std::size_t count : {4U, 8U, 14U}) {
    std::vector<ProofDrive> after;
    for (std::size_t i = 0; i < count; ++i) after.push_back(sound_drive(i % 2 == 0 ? 0.3 : -0.3));
    const double p = check_level(proof_of({}, after), band, {}).against_band.p();
    CHECK(p < last);
    last = p;
  }
}

TEST_CASE("bubbles at the sensor are bled before the sensor is looked into") {
  auto after = sound_drives({0.1, 0.0, 0.2});
  for (ProofDrive& drive : after) {
    drive.showing = Showing::shows;
    drive.condition = Condition::sensor_fault;
    drive.dips_shut = 3;
  }
  CHECK(verified(proof_of(faulty_drives(3), after)).headline.find("bleed again first") !=
        std::string::npos);
}

TEST_CASE("overheating before is a fault like others, though no cause of its own") {
  auto before = faulty_drives(3);
  for (ProofDrive& drive : before) drive.condition = Condition::overheating;
  auto after = sound_drives({0.1, 0.0, 0.2, -0.1, 0.0});
  for (ProofDrive& drive : after) drive.trace.emplace();
  after[0].showing = Showing::cannot_tell;
  const Verification v = verified(proof_of(before, after));
  CHECK(v.fault.hardest == Condition::overheating);
  CHECK(v.fault.clean == 4);
}

TEST_CASE("an outing in pieces is one drive") {
  auto after = sound_drives({0.1, 0.0, 0.2, -0.1, 0.0});
  for (std::size_t i = 0; i < after.size(); ++i) {
    after[i].at = Moment{1000.0 * static_cast<double>(i), false};
    after[i].duration_s = 998.0;
  }
  put_in_order(after);
  const Verification v = verified(proof_of(faulty_drives(3), after));
  CHECK(v.fault.clean == 1);
  CHECK(v.level.drives == 1);
  CHECK(mentions(v.limits,
                 "s2.csv could not have shown the fault: it goes on where the drive before "
                 "it had just ended"));
  for (ProofDrive& drive : after) drive.at->time_s *= 2.0;
  put_in_order(after);
  CHECK(verified(proof_of(faulty_drives(3), after)).state == VerifyState::verified);
  for (ProofDrive& drive : after) drive.at->time_s = 0.0; // a clock that begins anew each time
  put_in_order(after);
  CHECK(verified(proof_of(faulty_drives(3), after)).state == VerifyState::verified);
}

TEST_CASE("a fault found by hand that no drive before shows is not shown to be cured") {
  VerifyOptions options;
  options.fault = Condition::fan_not_cooling;
  const auto after = sound_drives({0.1, 0.0, 0.2, -0.1, 0.0});
  const Verification v = verified(proof_of(faulty_drives(3), after), options);
  CHECK(v.state == VerifyState::not_yet);
  CHECK(mentions(v.reasons,
                 "of fan not cooling, which was found by hand, no drive before tells where"));
  options.fault = Condition::thermostat_stuck_open;
  CHECK(verified(proof_of(faulty_drives(3), after), options).state == VerifyState::verified);
}
