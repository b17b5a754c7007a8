// SPDX-License-Identifier: Apache-2.0
// Coolant properties: order, monotony, limits and errors.
#include "coolband/circuit/coolant_fluid.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <limits>

using namespace coolband;

TEST_CASE("the two directions of the saturation line undo each other") {
  for (double t = 0.01; t < 373.9; t += 7.3)
    CHECK(std::abs(water_saturation_temperature_c(water_saturation_pressure_kpa(t)) - t) <= 1e-6);
}

TEST_CASE("beyond the saturation line and the troposphere inputs are clamped") {
  CHECK(water_saturation_pressure_kpa(-40.0) == water_saturation_pressure_kpa(0.0));
  CHECK(water_saturation_pressure_kpa(900.0) == water_saturation_pressure_kpa(373.946));
  CHECK(std::abs(water_saturation_temperature_c(0.0)) <= 1e-3);
  CHECK(atmospheric_pressure_kpa(20000.0) == atmospheric_pressure_kpa(11000.0));
  CHECK(atmospheric_pressure_kpa(-9000.0) == atmospheric_pressure_kpa(-2000.0));
}

TEST_CASE("water alone freezes at zero and boils on the saturation line") {
  for (const CoolantMix& mix : {CoolantMix{Glycol::none, 50.0}, CoolantMix{Glycol::ethylene, 0.0},
                                CoolantMix{Glycol::propylene, 0.0}}) {
    CHECK(glycol_mass_fraction(mix) == 0.0);
    CHECK(freezing_point_c(mix).value() == 0.0);
    CHECK(boiling_point_c(mix, 150.0).value() == water_saturation_temperature_c(150.0));
  }
}

TEST_CASE("more glycol never freezes earlier, boils earlier or weighs less") {
  for (const Glycol glycol : {Glycol::ethylene, Glycol::propylene}) {
    CoolantMix before{glycol, 0.0};
    for (double volume = 0.1; volume <= 60.0; volume += 0.1) {
      const CoolantMix mix{glycol, volume};
      CHECK(freezing_point_c(mix).value() <= freezing_point_c(before).value());
      CHECK(boiling_point_c(mix, 101.325).value() > boiling_point_c(before, 101.325).value());
      CHECK(glycol_mass_fraction(mix) > glycol_mass_fraction(before));
      before = mix;
    }
  }
}

TEST_CASE("the freezing curve is promised no further than its last row") {
  CHECK(freezing_point_c({Glycol::ethylene, 60.0}).value() ==
        doctest::Approx(freezing_point_c({Glycol::ethylene, 57.8}).value()));
}

TEST_CASE("propylene glycol is credited with less than ethylene and more than water") {
  for (double pressure_kpa : {70.0, 101.325, 240.0}) {
    const double water = water_saturation_temperature_c(pressure_kpa);
    const double propylene = boiling_point_c({Glycol::propylene, 50.0}, pressure_kpa).value();
    const double ethylene = boiling_point_c({Glycol::ethylene, 50.0}, pressure_kpa).value();
    CHECK(propylene > water);
    CHECK(propylene < ethylene);
  }
}

TEST_CASE("beyond the table there is an error and no extrapolation") {
  for (double volume : {-0.1, 60.1, 100.0, std::numeric_limits<double>::quiet_NaN(),
                        std::numeric_limits<double>::infinity()}) {
    const auto freeze = freezing_point_c({Glycol::ethylene, volume});
    const auto boil = boiling_point_c({Glycol::propylene, volume}, 101.325);
    REQUIRE(!freeze.ok());
    REQUIRE(!boil.ok());
    CHECK(freeze.error().kind == ErrorKind::usage);
    CHECK(boil.error().kind == ErrorKind::usage);
  }
  CHECK(freezing_point_c({Glycol::ethylene, 70.0}).error().message ==
        "no table for 70 vol % glycol: known from 0 to 60");
}

TEST_CASE("a pressure no cooling system has is an error") {
  for (double pressure_kpa : {0.0, -5.0, 5000.0, std::numeric_limits<double>::quiet_NaN()}) {
    const auto boil = boiling_point_c({Glycol::ethylene, 50.0}, pressure_kpa);
    REQUIRE(!boil.ok());
    CHECK(boil.error().kind == ErrorKind::usage);
  }
}
