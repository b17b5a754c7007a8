// SPDX-License-Identifier: Apache-2.0
// The whole line: which band a trip is judged by, trip after trip, and what is learned from.
#include "coolband/analyse.hpp"

#include "coolband/band/band_file.hpp"
#include "coolband/condition/condition.hpp"
#include "coolband/import/import_log.hpp"
#include "support/drive_simulator.hpp"
#include "support/edit_columns.hpp"
#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>
#include <utility>

using namespace coolband;
using namespace coolband::testing;

namespace {

Recording simulated(std::uint64_t seed, Fault fault = Fault::none, double sample_period_s = 1.0) {
  DrivePlan plan;
  plan.seed = seed;
  plan.ambient_c = 15.0;
  plan.start_c = 15.0;
  plan.sample_period_s = sample_period_s;
  plan.legs = {{LegKind::town, 8}, {LegKind::road, 20}, {LegKind::motorway, 8}, {LegKind::road, 8}};
  auto recording = import_text(drive_csv(simulate_drive({}, plan, {fault})), "dir/drive.csv");
  REQUIRE(recording);
  return *recording;
}

NormalBand learned() {
  std::vector<DriveSummary> drives;
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    const auto found = summarise_drives(simulated(seed));
    REQUIRE(found.size() == 1);
    REQUIRE(found.front().summary);
    drives.push_back(*found.front().summary);
    drives.back().source += std::to_string(seed);
  }
  const auto band = learn_band(drives, "V");
  REQUIRE(band);
  return *band;
}

VehicleProfile profile() {
  VehicleProfile made;
  made.id = "V";
  made.normal_centre_c = 80.0;
  made.normal_tolerance_c = 3.0;
  return made;
}

/// The second recording behind the first, its clock starting anew.
Recording joined(Recording first, const Recording& second) {
  testing::append(first.time_s, second.time_s);
  for (std::size_t r = 0; r < k_role_count; ++r) testing::append(first.values[r], second.values[r]);
  for (std::size_t i = first.row_map.at(0).row; i <= second.size(); ++i)
    first.row_map.add({100000 + i, 100000 + i});
  return first;
}

} // namespace

TEST_CASE("a band comes before a profile, a profile before the trip itself") {
  const Recording drive = simulated(20);
  const NormalBand band = learned();
  CHECK(analyse(drive, band, profile()).front().band->origin == BandOrigin::learned);
  CHECK(analyse(drive, std::nullopt, profile()).front().band->origin == BandOrigin::profile);
  CHECK(analyse(drive, std::nullopt, std::nullopt).front().band->origin == BandOrigin::trip);
  VehicleProfile silent;
  silent.id = "V";
  CHECK(analyse(drive, std::nullopt, silent).front().band->origin == BandOrigin::trip);
}

TEST_CASE("a warm-up ends where this trip regulates, if its band allows that") {
  // From 20 °C up to its level by 6 K a minute, then level for half an hour.
  const auto trip_to = [](double level_c, double half_width_c) {
    std::string csv = "time_s,coolant_c\n";
    for (int s = 0; s < 2700; ++s)
      csv += fmt::format("{},{:.1f}\n", s, std::min(level_c, 20.0 + 0.1 * s));
    auto recording = import_text(csv, "made.csv");
    REQUIRE(recording);
    NormalBand band;
    band.centre_c = 84.0;
    band.half_width_c = half_width_c;
    const GivenBand given{std::optional(band)};
    auto trips = trips_of(*recording, condition(*recording), given);
    REQUIRE(trips.size() == 1);
    REQUIRE(trips[0].warm_ups.size() == 1);
    auto settled = trips_of(*recording, condition(*recording), GivenBand());
    settle_trips(settled, given);
    CHECK(settled[0].warm_ups[0].reached_s == trips[0].warm_ups[0].reached_s);
    return trips[0].warm_ups[0].reached_s;
  };
  CHECK(*trip_to(84.0, 6.0) == doctest::Approx(610.0).epsilon(0.02));
  CHECK(*trip_to(79.5, 6.0) == doctest::Approx(570.0).epsilon(0.02)); // 3 K below its own level
  CHECK_FALSE(trip_to(79.5, 3.0)); // colder than it runs when it is sound
}

TEST_CASE("each trip of a recording is judged on its own") {
  const Recording both = joined(simulated(21), simulated(22, Fault::stuck_open));
  const auto findings = analyse(both, learned(), std::nullopt);
  REQUIRE(findings.size() == 2);
  CHECK(findings[0].judgement.condition == Condition::normal);
  CHECK(findings[1].judgement.condition == Condition::thermostat_stuck_open);
  CHECK(findings[1].trip.first_row == findings[0].trip.last_row + 1);
}

TEST_CASE("the verdict does not hang on how often the log was sampled") {
  const NormalBand band = learned();
  for (const double period_s : {0.5, 2.0, 10.0}) {
    CAPTURE(period_s);
    CHECK(analyse(simulated(23, Fault::none, period_s), band, std::nullopt)
              .front()
              .judgement.condition == Condition::normal);
    CHECK(analyse(simulated(23, Fault::stuck_closed, period_s), band, std::nullopt)
              .front()
              .judgement.condition == Condition::thermostat_stuck_closed);
  }
}

TEST_CASE("a trip that never ran warm has no band and no verdict") {
  std::vector<float> coolant;
  append_ramp(coolant, 300, 10.0F, 45.0F);
  const auto findings = analyse(made_recording(1.0, coolant), std::nullopt, std::nullopt);
  REQUIRE(findings.size() == 1);
  CHECK_FALSE(findings[0].band);
  CHECK(findings[0].judgement.condition == Condition::undetermined);
}

TEST_CASE("hostile recordings are judged without a crash and never called normal") {
  const auto condition_of = [](const Recording& recording) {
    const auto findings = analyse(recording, learned(), profile());
    return findings.empty() ? Condition::undetermined : findings.front().judgement.condition;
  };
  CHECK(analyse(Recording{}, std::nullopt, std::nullopt).empty());
  CHECK(condition_of(made_recording(1.0, {80.0F})) == Condition::undetermined);
  CHECK(condition_of(made_recording({0, 0, 0, 0}, {80, 80, 80, 80})) == Condition::undetermined);
  CHECK(condition_of(made_recording(1.0, std::vector<float>(900, k_no_value))) ==
        Condition::undetermined);
  CHECK(condition_of(made_recording(1.0, std::vector<float>(900, -40.0F))) != Condition::normal);
  CHECK(condition_of(made_recording(1.0, std::vector<float>(900, INFINITY))) != Condition::normal);
}

TEST_CASE("drives are named by their file, and by their number when a file holds several") {
  const auto one = summarise_drives(simulated(24));
  REQUIRE(one.size() == 1);
  CHECK(one[0].source == "drive.csv");
  const auto two = summarise_drives(joined(simulated(24), simulated(25)));
  REQUIRE(two.size() == 2);
  CHECK(two[0].source == "drive.csv#1");
  CHECK(two[1].source == "drive.csv#2");
  CHECK(two[1].summary->source == "drive.csv#2");
}

TEST_CASE("a drive that is too short to learn from says so instead") {
  std::vector<float> coolant(120, 80.0F);
  const auto drives = summarise_drives(made_recording(1.0, coolant));
  REQUIRE(drives.size() == 1);
  REQUIRE_FALSE(drives[0].summary);
  CHECK(drives[0].summary.error().message.find("of warm running") != std::string::npos);
}

TEST_CASE("drives are summarised alike whether their rows are kept or not") {
  for (Recording recording : {simulated(24), joined(simulated(24), simulated(25))}) {
    const auto kept = summarise_drives(recording);
    const auto dropped = summarise_drives(std::move(recording));
    REQUIRE(kept.size() == dropped.size());
    for (std::size_t i = 0; i < kept.size(); ++i) {
      CHECK(kept[i].source == dropped[i].source);
      const auto one = learn_band({*kept[i].summary}, "V");
      const auto other = learn_band({*dropped[i].summary}, "V");
      REQUIRE((one && other));
      CHECK(write_band(*one) == write_band(*other));
    }
  }
}
