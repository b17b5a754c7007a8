// SPDX-License-Identifier: Apache-2.0
// A band without the columns that its drives had is the band of drives that never had them.
#include "band/withhold.hpp"

#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Ten drives from 5 to 25 °C outside, 0.15 K per K of it; 0.2 K per % of load.
std::vector<DriveSummary> following_drives() {
  auto drives = made_drives(10);
  for (DriveSummary& drive : drives) {
    set_level(drive, drive.level_c + 0.15 * (*drive.ambient_mean_c - 15.0));
    set_load(drive, {35.0, 12.0, 0.2});
  }
  return drives;
}

NormalBand kept_all(const std::vector<DriveSummary>& drives) {
  LearnOptions options;
  options.keep_all = true;
  const auto band = learn_band(drives, "V", std::nullopt, options);
  REQUIRE(band);
  return *band;
}

/// Logged without load: the fit has nothing to explain by, and all that load does is scatter.
void take_load(DriveSummary& drive) {
  const double coolant_k2 = drive.moments.covariance[0];
  drive.moments = {{Factor::coolant}, {drive.level_c}, {coolant_k2}};
  drive.scatter_c = std::sqrt(coolant_k2);
  drive.load_seen_pct = std::nullopt;
}

} // namespace

TEST_CASE("without load a band is that of drives that never had it") {
  const NormalBand full = kept_all(following_drives());
  REQUIRE(full.load_c_per_pct);
  auto bare_drives = following_drives();
  for (DriveSummary& drive : bare_drives) take_load(drive);
  const NormalBand bare = kept_all(bare_drives);
  const auto withheld = without(full, {.load = true});
  REQUIRE(withheld);
  CHECK_FALSE(withheld->load_c_per_pct);
  CHECK(*withheld->ambient_c_per_c == doctest::Approx(*bare.ambient_c_per_c).epsilon(1e-6));
  CHECK(withheld->within_c == doctest::Approx(bare.within_c).epsilon(1e-6));
  CHECK(withheld->centre_c == doctest::Approx(bare.centre_c).epsilon(1e-6));
  CHECK(withheld->half_width_c == doctest::Approx(bare.half_width_c).epsilon(1e-6));
  CHECK(withheld->within_c > 2.0 * full.within_c); // 2.4 K by load
}

TEST_CASE("without the weather its drives differ by what the weather does") {
  const NormalBand full = kept_all(following_drives());
  REQUIRE(full.ambient_c_per_c);
  auto bare_drives = following_drives();
  for (DriveSummary& drive : bare_drives) drive.ambient_mean_c = std::nullopt;
  const NormalBand bare = kept_all(bare_drives);
  const auto withheld = without(full, {.ambient = true});
  REQUIRE(withheld);
  CHECK_FALSE(withheld->ambient_c_per_c);
  CHECK(*withheld->load_c_per_pct == doctest::Approx(*bare.load_c_per_pct));
  CHECK(withheld->between_c == doctest::Approx(bare.between_c));
  CHECK(withheld->half_width_c == doctest::Approx(bare.half_width_c));
  CHECK(withheld->between_c > full.between_c);
}

TEST_CASE("what is withheld leaves drives, traits and notes as they were") {
  NormalBand full = kept_all(following_drives());
  full.traits.opens_c = Trait{78.0, 0.1, 0.5, 6};
  full.opens_c = 76.0;
  const auto withheld = without(full, {true, true, true, true});
  REQUIRE(withheld);
  CHECK(withheld->vehicle == "V");
  CHECK(withheld->drives.size() == full.drives.size());
  CHECK(withheld->drives[0].ambient_mean_c == full.drives[0].ambient_mean_c);
  CHECK(withheld->traits.opens_c->value == 78.0);
  CHECK(withheld->opens_c == 76.0);
  CHECK(withheld->notes == full.notes);
}

TEST_CASE("without road speed climbs still count, without height speed does") {
  // -0.05 K per km/h (25 km/h, 1 s.d.) and 0.2 K per m/min (10 m/min), neither with load.
  auto drives = made_drives(10);
  for (DriveSummary& drive : drives) {
    const double own_k2 = 0.81 + 0.0025 * 625.0 + 0.04 * 100.0;
    drive.moments = {{Factor::coolant, Factor::load_60s, Factor::speed, Factor::climb},
                     {drive.level_c, 35.0, 60.0, 0.0},
                     {own_k2, 0.0, 144.0, -0.05 * 625.0, 0.0, 625.0, 0.2 * 100.0, 0.0, 0.0, 100.0}};
    drive.speed_seen_kmh = Range{20.0, 100.0};
    drive.climb_seen_m_per_min = Range{-20.0, 20.0};
  }
  const NormalBand full = kept_all(drives);
  REQUIRE(full.speed);
  REQUIRE(full.climb);
  const auto no_speed = without(full, {.speed = true});
  REQUIRE(no_speed);
  CHECK_FALSE(no_speed->speed);
  CHECK(no_speed->climb->slope == doctest::Approx(0.2));
  CHECK(no_speed->within_c == doctest::Approx(std::sqrt(0.81 + 0.0025 * 625.0)).epsilon(0.01));
  const auto no_height = without(full, {.altitude = true});
  REQUIRE(no_height);
  CHECK_FALSE(no_height->climb);
  CHECK(no_height->speed->slope == doctest::Approx(-0.05));
  CHECK(no_height->within_c == doctest::Approx(std::sqrt(0.81 + 0.04 * 100.0)).epsilon(0.01));
}
