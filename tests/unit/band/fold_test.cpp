// SPDX-License-Identifier: Apache-2.0
// A band of many drives stays small and says what all of them say.
#include "coolband/band/band_file.hpp"
#include "coolband/band/normal_band.hpp"

#include "support/random.hpp"
#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

using namespace coolband;
using namespace coolband::testing;

namespace {

std::string date_of(std::size_t day) {
  return fmt::format("20{:02}-{:02}-{:02}T07:00:00", 31 + day / 336, day / 28 % 12 + 1,
                     day % 28 + 1);
}

/// One drive a day: level by the weather and the load, every seventh faulty.
std::vector<DriveSummary> years(std::size_t count, bool faulty = true) {
  Random random(77);
  std::vector<DriveSummary> drives;
  for (std::size_t i = 0; i < count; ++i) {
    const double ambient_c = 12.0 + 12.0 * std::sin(static_cast<double>(i) * 2.0 * 3.14159 / 336.0);
    const MadeLoad load{random.between(25.0, 45.0), 12.0, 0.05};
    double level_c = 80.0 + 0.06 * (ambient_c - 15.0) + 0.05 * (load.mean_pct - 35.0);
    for (int k = 0; k < 3; ++k) level_c += random.between(-0.6, 0.6);
    if (faulty && i % 7 == 3) level_c -= 9.0;
    DriveSummary drive = made_drive(fmt::format("trip-{:04}.csv", i), level_c, ambient_c);
    drive.start = date_of(i);
    set_load(drive, load);
    drives.push_back(drive);
  }
  return drives;
}

NormalBand at_once(const std::vector<DriveSummary>& drives) {
  const auto band = learn_band(drives, "V");
  REQUIRE(band);
  return *band;
}

/// Night after night through the file.
NormalBand night_by_night(const std::vector<DriveSummary>& drives, std::size_t a_night) {
  NormalBand band;
  band.vehicle = "V";
  for (std::size_t i = 0; i < drives.size(); i += a_night) {
    const auto from = drives.begin() + static_cast<std::ptrdiff_t>(i);
    const auto to =
        drives.begin() + static_cast<std::ptrdiff_t>(std::min(drives.size(), i + a_night));
    const auto updated = update_band(band, {from, to});
    REQUIRE(updated);
    const auto read = parse_band(write_band(*updated), "band.json");
    REQUIRE(read);
    band = *read;
  }
  return band;
}

} // namespace

TEST_CASE("a thousand drives in a hundred nights say what they say at once, in a small file") {
  const auto drives = years(1000);
  const NormalBand once = at_once(drives);
  const NormalBand nights = night_by_night(drives, 10);
  CHECK_FALSE(once.drift);
  CHECK_FALSE(nights.drift);
  const double tenth = once.spread_c() / 10.0;
  CHECK(nights.drives.size() == k_kept_drives);
  for (const double ambient_c : {2.0, 12.0, 22.0}) {
    Conditions conditions;
    conditions.load_pct = 40.0;
    conditions.ambient_c = ambient_c;
    const Prediction by_nights = predict(nights, conditions);
    const Prediction by_once = predict(once, conditions);
    CHECK(std::abs(by_nights.centre_c - by_once.centre_c) < tenth);
    CHECK(std::abs(by_nights.upper_c - by_once.upper_c) < tenth);
  }
  CHECK(std::abs(nights.half_width_c - once.half_width_c) < tenth);
  CHECK(std::abs(nights.between_c - once.between_c) < tenth);
  CHECK(std::abs(*nights.load_c_per_pct - *once.load_c_per_pct) < 0.002);
  CHECK(std::abs(*nights.ambient_c_per_c - *once.ambient_c_per_c) < 0.01);
  CHECK(*once.ambient_c_per_c == doctest::Approx(0.06).epsilon(0.1));
  CHECK(write_band(nights).size() < 64U * 1024U);
  CHECK(write_band(once).size() < 64U * 1024U);
  CHECK(nights.drive_count() + nights.left_out.size() + nights.left_out_before == 1000);
}

TEST_CASE("up to the number that is kept, night by night gives the bytes of all at once") {
  const auto drives = years(k_kept_drives, false);
  const auto read = parse_band(write_band(at_once(drives)), "band.json");
  REQUIRE(read);
  const bool same = write_band(night_by_night(drives, 7)) == write_band(*read);
  CHECK(same);
}

TEST_CASE("a folded band is learned again as it was") {
  const NormalBand band = at_once(years(200, false));
  const auto again = update_band(band, {});
  REQUIRE(again);
  CHECK(std::abs(again->centre_c - band.centre_c) < 0.02);
  CHECK(std::abs(again->half_width_c - band.half_width_c) < 0.02);
  CHECK(again->drive_count() == 200);
}

TEST_CASE("a drive older than those kept is not counted twice") {
  const auto drives = years(150, false);
  const NormalBand band = at_once(drives);
  const auto again = update_band(band, {drives[3]});
  REQUIRE(again);
  CHECK(again->drive_count() == 150);
  CHECK(again->left_out.empty());
  CHECK(again->notes.back() ==
        "1 drive is older than those that the band keeps one by one, and may "
        "be in it already: not learned again");
}

TEST_CASE("a drive that was left out before its time was folded is not learned later") {
  auto drives = years(60, false);
  set_level(drives[5], 65.0);
  const NormalBand first = at_once(drives);
  REQUIRE(first.left_out.size() == 1);
  const auto later = years(150, false);
  const auto band = update_band(first, {later.begin() + 60, later.end()});
  REQUIRE(band);
  const auto again = update_band(*band, {});
  REQUIRE(again);
  CHECK(again->drive_count() == 149);
  REQUIRE(again->left_out.size() == 1);
  CHECK(again->left_out.front().reason == band->left_out.front().reason);
}

TEST_CASE("however many old drives come again, the file stays small") {
  const auto drives = years(400, false);
  const NormalBand band = at_once(drives);
  const auto again = update_band(band, drives);
  REQUIRE(again);
  CHECK(again->drive_count() == 400);
  CHECK(write_band(*again).size() < 64U * 1024U);
  CHECK(again->left_out.empty());
  CHECK(again->left_out_before == 0);
}

TEST_CASE("a service begins a new band and keeps the old one to compare with") {
  auto drives = years(40, false);
  for (std::size_t i = 20; i < 40; ++i) set_level(drives[i], drives[i].level_c + 4.0);
  LearnOptions options;
  options.since = drives[20].start.substr(0, 10);
  const auto band = learn_band(drives, "V", std::nullopt, options);
  REQUIRE(band);
  CHECK(band->drives.size() == 20);
  REQUIRE(band->earlier);
  CHECK(band->earlier->drives == 20);
  CHECK(moved_since_c(*band, *band->earlier) == doctest::Approx(4.0).epsilon(0.2));
  // It stays so when the file is read and more drives come, also ones from before the service.
  const auto read = parse_band(write_band(*band), "band.json");
  REQUIRE(read);
  auto more = years(45, false);
  const auto later = update_band(*read, {more[2], more[44]});
  REQUIRE(later);
  CHECK(later->since == options.since);
  CHECK(later->earlier->drives == 20);
  CHECK(later->earlier->reference_load_pct == band->earlier->reference_load_pct);
  CHECK(later->drives.size() + later->left_out.size() == 22);
  CHECK(later->left_out.back().reason == "was before the service of " + options.since);
}

TEST_CASE("a service without drives behind it is refused, drives without a date are said") {
  auto drives = years(5, false);
  LearnOptions options;
  options.since = "2099-01-01";
  const auto none = learn_band(drives, "V", std::nullopt, options);
  REQUIRE_FALSE(none);
  CHECK(none.error().message ==
        "no drive to learn from: none of those given is from after 2099-01-01");
  drives[2].start.clear();
  const auto one = learn_band(drives, "V", std::nullopt, options);
  REQUIRE(one);
  CHECK(one->notes.back() == "1 drive has no date: taken to be from after 2099-01-01");
}

TEST_CASE("a level that moves is told as a drift, not swallowed into the spread") {
  auto drives = years(60, false);
  for (DriveSummary& drive : drives) {
    set_level(drive, drive.level_c - 0.06 * (*drive.ambient_mean_c - 15.0));
    drive.ambient_mean_c = 15.0; // so that weather cannot explain the move
  }
  const NormalBand steady = at_once(drives);
  CHECK_FALSE(steady.drift);
  for (std::size_t i = 30; i < 60; ++i)
    set_level(drives[i], drives[i].level_c + 0.1 * static_cast<double>(i - 29));
  const NormalBand moved = at_once(drives);
  REQUIRE(moved.drift);
  CHECK(moved.drift->since >= drives[26].start);
  CHECK(moved.drift->since <= drives[45].start);
  CHECK(moved.drift->shift_c > 0.8);
  CHECK(moved.between_c < steady.between_c + 0.2);
  CHECK(std::abs(moved.centre_c - steady.centre_c) < 0.4);
  CHECK(std::any_of(moved.notes.begin(), moved.notes.end(), [](const std::string& note) {
    return note.find("--since") != std::string::npos;
  }));
}

TEST_CASE("drives without a date cannot drift") {
  auto drives = years(60, false);
  for (std::size_t i = 0; i < 60; ++i) {
    drives[i].start.clear();
    if (i >= 30) set_level(drives[i], drives[i].level_c + 2.5);
  }
  CHECK_FALSE(at_once(drives).drift);
}

TEST_CASE("bands of before the moments are still read") {
  const auto band = parse_band(R"({"schema": "coolband.band/1", "vehicle": "V", "centre_c": 80,
    "centre_error_c": 0.3, "load_c_per_pct": 0.05, "ambient_c_per_c": null,
    "reference": {"load_pct": 35, "ambient_c": 15}, "between_c": 0.6, "within_c": 0.8,
    "half_width_c": 3, "freedom": 20, "correlation_s": 120, "drives": [{"source": "a.csv",
    "start": "", "warm_s": 1800, "level_c": 80, "scatter_c": 0.9, "effective_count": 15,
    "correlation_s": 120, "resolution_c": 1, "hottest_c": 83, "load_mean_pct": 40,
    "load_scatter_pct": 12, "load_slope_c_per_pct": 0.05, "load_slope_error_c_per_pct": 0.01}]})",
                               "old.json");
  REQUIRE(band);
  REQUIRE(band->drives.size() == 1);
  CHECK(band->drives[0].moments.mean == std::vector<double>{80.0, 40.0});
  CHECK(band->drives[0].moments.covariance[1] == doctest::Approx(0.05 * 144.0));
  CHECK(band->drives[0].extra_json.empty());
}
