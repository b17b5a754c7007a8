// SPDX-License-Identifier: Apache-2.0
// Which columns a log lacks that its band corrects for, and what is said of it.
#include "diagnose/as_logged.hpp"

#include "support/texts.hpp"
#include "unit/band/made_drives.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

NormalBand correcting_band() {
  auto drives = made_drives(10);
  for (DriveSummary& drive : drives) {
    set_level(drive, drive.level_c + 0.15 * (*drive.ambient_mean_c - 15.0));
    set_load(drive, {35.0, 12.0, 0.2});
  }
  const auto band = learn_band(drives, "V");
  REQUIRE(band);
  REQUIRE(band->load_c_per_pct);
  REQUIRE(band->ambient_c_per_c);
  return *band;
}

Blocks made_blocks(const Stretch& stretch) { return MadeTrip{}.add(60, stretch).take().blocks; }

} // namespace

TEST_CASE("a log with all that the band corrects for is judged by the band itself") {
  CHECK_FALSE(band_without(correcting_band(), not_logged(made_blocks({}))));
  // Road speed is lacking, but the band does nothing by it.
  CHECK_FALSE(
      band_without(correcting_band(), not_logged(made_blocks({80.0F, 35.0F, k_not_logged}))));
}

TEST_CASE("without what it corrects for a band is wider, and says so") {
  const NormalBand band = correcting_band();
  const auto wider = band_without(band, not_logged(made_blocks(k_coolant_only)));
  REQUIRE(wider);
  CHECK(wider->half_width_c > 1.5 * band.half_width_c);
  CHECK(
      mentions(wider->notes, "corrects for load and outside temperature, which this log does not"));
  const auto without_load = band_without(band, not_logged(made_blocks({80.0F, k_not_logged})));
  REQUIRE(without_load);
  CHECK(mentions(without_load->notes, "corrects for load, which this log does not have"));
  CHECK(without_load->ambient_c_per_c == band.ambient_c_per_c);
}

TEST_CASE("a band that was not learned has nothing to withhold") {
  NormalBand band = correcting_band();
  band.origin = BandOrigin::profile;
  CHECK_FALSE(band_without(band, not_logged(made_blocks(k_coolant_only))));
}
