// SPDX-License-Identifier: Apache-2.0
// The picture of the apparent valve curve: what it rests on is said, and marks tell the paces
// apart.
#include "coolband/import/import_log.hpp"
#include "coolband/report/report.hpp"
#include "support/drive_simulator.hpp"
#include "support/texts.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace coolband;
using namespace coolband::testing;

namespace {

Recording drive(std::uint64_t seed, Fault fault = Fault::none) {
  DrivePlan plan;
  plan.seed = seed;
  plan.legs = {{LegKind::town, 8}, {LegKind::road, 20}, {LegKind::idle, 6}, {LegKind::motorway, 8}};
  const auto recording = import_text(drive_csv(simulate_drive({}, plan, {fault})), "drive.csv");
  REQUIRE(recording);
  return *recording;
}

std::string picture(const Recording& recording, const std::optional<NormalBand>& band) {
  const auto findings = analyse(recording, band, std::nullopt);
  REQUIRE(findings.size() == 1);
  const std::optional<VehicleProfile> no_profile;
  return draw_valve(make_report(recording, findings[0], no_profile));
}

} // namespace

TEST_CASE("without a band the picture says that only its shape tells") {
  const std::string svg = picture(drive(1), std::nullopt);
  CHECK(says(svg, "heat balance of a usual vehicle: shape tells, height does not"));
  CHECK(says(svg, "expected of a usual vehicle"));
  CHECK_FALSE(says(svg, "no load in the log"));
  CHECK(svg.ends_with("</svg>"));
}

TEST_CASE("with a band the picture rests on its circuit, and each pace has its mark") {
  std::vector<DriveSummary> drives;
  for (std::uint64_t seed = 1; seed < 5; ++seed) {
    for (const LearningDrive& one : summarise_drives(drive(seed))) {
      REQUIRE(one.summary);
      drives.push_back(*one.summary);
    }
  }
  const auto band = learn_band(drives, "V & W");
  REQUIRE(band);
  const std::string svg = picture(drive(9, Fault::stuck_open), *band);
  CHECK(says(svg, "fitted to 4 drives"));
  CHECK(says(svg, "V &amp; W: apparent conductance of the radiator"));
  CHECK(says(svg, "expected of this vehicle"));
  // What the legend shows dashed is dashed in every plot: against temperature, over time.
  const std::string_view expected = "stroke=\"#2b7bb3\" stroke-width=\"2.";
  CHECK(times_in(svg, expected) >= 3);
  CHECK(times_in(svg, expected) == times_in(svg, "stroke=\"#2b7bb3\""));
  CHECK(times_in(svg, expected) == times_in(svg, "stroke-dasharray=\"7 4\""));
  CHECK(times_in(svg, "<circle") > 20);  // brisk
  CHECK(times_in(svg, "<polygon") > 20); // slow and standing, ranges
  CHECK_FALSE(says(svg, "nan"));
  CHECK_FALSE(says(svg, "inf"));
}

TEST_CASE("a log of time and coolant alone is drawn, and what stands for the rest is named") {
  DrivePlan plan;
  plan.legs = {{LegKind::road, 40}};
  std::string text = "time_s,coolant_c\n";
  const DriveLog log = simulate_drive({}, plan);
  for (std::size_t i = 0; i < log.size(); ++i)
    text += std::to_string(i) + "," + std::to_string(log.coolant_c[i]) + "\n";
  const auto recording = import_text(text, "bare.csv");
  REQUIRE(recording);
  const std::string svg = picture(*recording, std::nullopt);
  CHECK(says(svg, "no load in the log, the road stands for it"));
  CHECK(says(svg, "no outside temperature in the log"));
  CHECK_FALSE(says(svg, "nan"));
}
