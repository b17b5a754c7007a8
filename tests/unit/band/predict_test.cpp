// SPDX-License-Identifier: Apache-2.0
// What a band expects under given conditions, and the bands that stand in for a learned one.
#include "coolband/band/normal_band.hpp"

#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

NormalBand made_band() {
  NormalBand band;
  band.centre_c = 80.0;
  band.half_width_c = 2.0;
  band.load_c_per_pct = 0.1;
  band.ambient_c_per_c = 0.2;
  band.reference_load_pct = 30.0;
  band.reference_ambient_c = 15.0;
  band.load_seen_pct = Range{10.0, 60.0};
  band.ambient_seen_c = Range{5.0, 25.0};
  return band;
}

Conditions at(std::optional<double> load_pct, std::optional<double> ambient_c) {
  Conditions conditions;
  conditions.load_pct = load_pct;
  conditions.ambient_c = ambient_c;
  return conditions;
}

} // namespace

TEST_CASE("the centre moves with load and weather as learned") {
  const Prediction p = predict(made_band(), at(50.0, 20.0));
  CHECK(p.centre_c == doctest::Approx(80.0 + 0.1 * 20.0 + 0.2 * 5.0));
  CHECK(p.lower_c == doctest::Approx(p.centre_c - 2.0));
  CHECK(p.upper_c == doctest::Approx(p.centre_c + 2.0));
  CHECK_FALSE(p.extrapolated);
}

TEST_CASE("unknown conditions are taken at the reference") {
  CHECK(predict(made_band(), {}).centre_c == 80.0);
  CHECK(predict(made_band(), at(std::nullopt, 25.0)).centre_c == doctest::Approx(82.0));
}

TEST_CASE("beyond experience the limits widen by the correction that is extrapolated") {
  const Prediction p = predict(made_band(), at(80.0, -5.0));
  CHECK(p.extrapolated);
  CHECK(p.centre_c == doctest::Approx(80.0 + 5.0 - 4.0));
  CHECK(p.upper_c - p.centre_c == doctest::Approx(2.0 + 0.1 * 20.0 + 0.2 * 10.0));
  CHECK(p.centre_c - p.lower_c == doctest::Approx(2.0 + 0.1 * 20.0 + 0.2 * 10.0));
}

TEST_CASE("a band without slopes expects its centre everywhere") {
  NormalBand band;
  band.centre_c = 82.0;
  band.half_width_c = 3.0;
  const Prediction p = predict(band, at(95.0, -30.0));
  CHECK(p.centre_c == 82.0);
  CHECK(p.upper_c == 85.0);
}

TEST_CASE("a profile's normal comes before its thermostat's rating") {
  VehicleProfile profile;
  profile.id = "V";
  CHECK_FALSE(band_from_profile(profile));
  profile.thermostat_opens_c = 76.0;
  CHECK(band_from_profile(profile)->centre_c == 80.0); // common practice, no source
  CHECK(band_from_profile(profile)->origin == BandOrigin::profile);
  profile.normal_centre_c = 81.0;
  profile.normal_tolerance_c = 2.0;
  const auto band = band_from_profile(profile);
  CHECK(band->centre_c == 81.0);
  CHECK(band->half_width_c == 2.0);
  CHECK(*band->opens_c == 76.0);
}

TEST_CASE("a trip stands in for its own band, within what engines regulate to") {
  CHECK(band_from_trip(warm_trip({82.0}))->centre_c == doctest::Approx(82.0));
  CHECK(band_from_trip(warm_trip({60.0}))->centre_c == 71.0);
  CHECK(band_from_trip(warm_trip({125.0}))->centre_c == 110.0);
  CHECK_FALSE(band_from_trip(Trip{}));
}

TEST_CASE("a trip that swings does not widen the band it is judged by") {
  CHECK(band_from_trip(warm_trip({80.0, 0.0, 6.0}))->half_width_c ==
        band_from_trip(warm_trip({80.0, 0.0, 0.0}))->half_width_c);
}
