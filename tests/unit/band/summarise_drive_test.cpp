// SPDX-License-Identifier: Apache-2.0
// What is kept of one drive.
#include "coolband/band/normal_band.hpp"

#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coolband;
using namespace coolband::testing;

namespace {

DriveSummary summary(const WarmSeries& series, std::uint64_t seed = 1) {
  const auto result = summarise_drive(warm_trip(series, seed), "a.csv", "2031-01-01T08:00:00");
  REQUIRE(result);
  return *result;
}

/// Covariance of load (lag 60 s) with another factor; the factors must hold load at all lags.
double with_load(const Moments& moments, std::size_t other) {
  constexpr std::size_t k_load = 2; // coolant, load_20s, load_60s, ...
  REQUIRE(moments.factors.at(k_load) == Factor::load_60s);
  return moments.covariance.at(other <= k_load ? k_load * (k_load + 1) / 2 + other
                                               : other * (other + 1) / 2 + k_load);
}

double slope_on_load(const Moments& moments) {
  return with_load(moments, 0) / with_load(moments, 2);
}

} // namespace

TEST_CASE("level, slope and length of a drive are found in its series") {
  const DriveSummary drive = summary({80.0, 0.10, 0.5, 0.1});
  CHECK(drive.level_c == doctest::Approx(80.0).epsilon(0.006));
  CHECK(slope_on_load(drive.moments) == doctest::Approx(0.10).epsilon(0.2));
  CHECK(drive.warm_s == doctest::Approx(1800.0).epsilon(0.01));
  CHECK(drive.moments.mean.at(2) == doctest::Approx(40.0).epsilon(0.03));
  CHECK(*drive.ambient_mean_c == 15.0);
  CHECK(drive.source == "a.csv");
  CHECK(drive.start == "2031-01-01T08:00:00");
}

TEST_CASE("the level is stated at the drive's own mean load, so the slope cannot bias it") {
  CHECK(summary({80.0, 0.0, 0.5, 0.1}).level_c ==
        doctest::Approx(summary({80.0, 0.15, 0.5, 0.1}).level_c).epsilon(0.003));
}

TEST_CASE("the scatter is what the load does not account for") {
  const DriveSummary quiet = summary({80.0, 0.15, 0.1, 0.1});
  const DriveSummary lively = summary({80.0, 0.15, 1.5, 0.1});
  CHECK(quiet.scatter_c < 0.6); // the load alone moves it by 6 K from end to end
  CHECK(lively.scatter_c > 2.0 * quiet.scatter_c);
}

TEST_CASE("a thermostat that swings does not pass for quiet") {
  std::vector<float> coolant;
  for (int i = 0; i < 1800; ++i) coolant.push_back(i / 200 % 4 == 3 ? 90.0F : 80.0F);
  const Recording recording = made_recording(1.0, coolant);
  SegmentOptions options;
  options.regulating_c = 80.0;
  const Trip trip = find_trips(recording, condition(recording), options).front();
  const auto drive = summarise_drive(trip, "a", "");
  REQUIRE(drive);
  CHECK(drive->scatter_c > 2.5);
}

TEST_CASE("a constant reading counts as few looks, not as one a row") {
  const DriveSummary drive = summary({80.0, 0.0, 0.0, 1.0});
  CHECK(drive.level_c == doctest::Approx(80.0));
  CHECK(drive.effective_count <= 30.0);
  CHECK(drive.effective_count >= 1.0);
  CHECK(drive.correlation_s >= 60.0);
}

TEST_CASE("slow wandering makes few independent looks") {
  const DriveSummary drive = summary({80.0, 0.0, 2.0, 0.1});
  CHECK(drive.effective_count < 30.0);
  CHECK(drive.effective_count * drive.correlation_s == doctest::Approx(drive.warm_s));
}

TEST_CASE("without a load column there is a level and no slope") {
  WarmSeries series;
  series.with_load = false;
  const DriveSummary drive = summary(series);
  CHECK(drive.level_c == doctest::Approx(80.0));
  CHECK(drive.moments.factors == std::vector<Factor>{Factor::coolant});
  CHECK_FALSE(drive.load_seen_pct);
}

TEST_CASE("under a load that holds still, a spell of cold counts no more than without a load") {
  std::vector<float> coolant(3600, 80.0F);
  std::fill(coolant.begin() + 1500, coolant.begin() + 2000, 60.0F);
  for (std::size_t i = 0; i < coolant.size(); ++i) coolant[i] += static_cast<float>(i % 50 / 25);
  const auto level_c = [&](bool with_load) {
    Recording recording = made_recording(1.0, coolant);
    if (with_load) fill(recording, Role::load, 40.0F);
    SegmentOptions options;
    options.regulating_c = 80.0;
    const auto trips = find_trips(recording, condition(recording), options);
    const auto drive = summarise_drive(trips.front(), "a", "");
    REQUIRE(drive);
    return drive->level_c;
  };
  CHECK(level_c(true) == doctest::Approx(level_c(false)));
  CHECK(level_c(true) == doctest::Approx(80.5).epsilon(0.003));
}

TEST_CASE("too little warm running is refused with what it takes") {
  WarmSeries series;
  series.seconds = 250;
  const auto drive = summarise_drive(warm_trip(series), "short.csv", "");
  REQUIRE_FALSE(drive);
  CHECK(drive.error().kind == ErrorKind::input);
  CHECK(drive.error().origin.file == "short.csv");
  CHECK(drive.error().message == "only 4 min 10 s of warm running; 5 min are needed to learn from");
  LearnOptions options;
  options.least_warm_s = 200.0;
  CHECK(summarise_drive(warm_trip(series), "short.csv", "", options));
}
