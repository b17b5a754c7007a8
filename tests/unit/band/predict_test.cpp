// SPDX-License-Identifier: Apache-2.0
// What a band expects under given conditions, and the bands that stand in for a learned one.
#include "coolband/band/normal_band.hpp"

#include "numeric/distributions.hpp"
#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

#include <cmath>

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

TEST_CASE("away from the reference a learned band widens by what its slopes are unsure of") {
  NormalBand band = made_band();
  band.between_c = 0.6;
  band.within_c = 0.8;
  band.centre_error_c = 0.2;
  band.widening = {0.98, 1.02, 1.15, 1.3};
  // The centre has a variance of 0.04 K², and 1 K² is that of a reading: 1/√n = 0.2.
  const Prediction here = predict(band, at(30.0, 15.0));
  CHECK(here.effective_count == doctest::Approx(25.0));
  CHECK(here.upper_c - here.centre_c == doctest::Approx(2.0 * (0.98 + 0.8 * 0.04)));
  band.load_error_c_per_pct = 0.02;
  const Prediction far = predict(band, at(60.0, 15.0));
  CHECK_FALSE(far.extrapolated);
  // 0.04 + (0.02 * 30)² = 0.40 K²: 1/√n = 0.632.
  CHECK(far.effective_count == doctest::Approx(2.5));
  CHECK(far.upper_c - far.centre_c ==
        doctest::Approx(2.0 * (1.15 + (std::sqrt(0.4) / 0.25 - 2.0) * 0.15)));
}

TEST_CASE("a learned band follows the exact factor wherever its centre is worth less") {
  NormalBand band = *learn_band(made_drives(10), "V");
  band.load_error_c_per_pct = 0.01;
  double before = 0.0;
  for (const double load_pct : {35.0, 45.0, 60.0}) {
    const Prediction p = predict(band, at(load_pct, 15.0));
    const double exact =
        tolerance_factor(p.effective_count, band.freedom, band.content, band.confidence) /
        tolerance_factor(std::pow(band.spread_c() / band.centre_error_c, 2), band.freedom,
                         band.content, band.confidence);
    CHECK((p.upper_c - p.centre_c) / band.half_width_c == doctest::Approx(exact).epsilon(0.015));
    CHECK(p.upper_c - p.centre_c > before);
    before = p.upper_c - p.centre_c;
  }
}

TEST_CASE("where no effect was learned, unseen conditions still widen the band") {
  NormalBand band = made_band();
  band.load_c_per_pct = std::nullopt;
  band.ambient_c_per_c = std::nullopt;
  CHECK(predict(band, at(60.0, 5.0)).upper_c == doctest::Approx(82.0));
  const Prediction frost = predict(band, at(60.0, -15.0));
  CHECK(frost.extrapolated);
  CHECK(frost.upper_c == doctest::Approx(82.0 + 0.1 * 20.0));
  const Prediction laden = predict(band, at(90.0, 15.0));
  CHECK(laden.extrapolated);
  CHECK(laden.upper_c == doctest::Approx(82.0 + 0.1 * 30.0));
  CHECK(laden.lower_c == doctest::Approx(78.0 - 0.1 * 30.0));
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
