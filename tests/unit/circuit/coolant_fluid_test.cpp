// SPDX-License-Identifier: Apache-2.0
// Coolant properties: order, monotony, limits and errors.
#include "coolband/circuit/coolant_fluid.hpp"

#include <doctest/doctest.h>

#include <algorithm>
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

TEST_CASE("volume for a mass fraction undoes mass fraction for a volume") {
  for (const Glycol glycol : {Glycol::ethylene, Glycol::propylene}) {
    for (double volume = 0.0; volume <= 60.0; volume += 1.7)
      CHECK(std::abs(glycol_volume_pct(glycol, glycol_mass_fraction({glycol, volume})) - volume) <=
            1e-6);
    CHECK(glycol_volume_pct(glycol, -0.2) == 0.0);
    CHECK(glycol_volume_pct(glycol, 0.9) == 60.0);
  }
  CHECK(glycol_volume_pct(Glycol::none, 0.5) == 0.0);
}

TEST_CASE("the concentration for a temperature freezes just there") {
  for (const Glycol glycol : {Glycol::ethylene, Glycol::propylene}) {
    for (double t = -0.5; t >= -48.0; t -= 1.3)
      CHECK(std::abs(freezing_point_c({glycol, concentration_for_c(glycol, t).value()}).value() -
                     t) <= 1e-6);
    CHECK(concentration_for_c(glycol, 0.0).value() == 0.0);
    CHECK(concentration_for_c(glycol, 12.0).value() == 0.0);
  }
  CHECK(concentration_for_c(Glycol::ethylene, -48.3).value() == doctest::Approx(57.8));
}

TEST_CASE("what no mix protects to is an error") {
  const auto too_cold = concentration_for_c(Glycol::ethylene, -60.0);
  REQUIRE(!too_cold.ok());
  CHECK(too_cold.error().kind == ErrorKind::usage);
  CHECK(!too_cold.error().remedy.empty());
  CHECK(!concentration_for_c(Glycol::none, -1.0).ok());
  CHECK(concentration_for_c(Glycol::none, 1.0).value() == 0.0);
  CHECK(!concentration_for_c(Glycol::ethylene, std::numeric_limits<double>::quiet_NaN()).ok());
}

TEST_CASE("density and heat capacity run smoothly over temperature and concentration") {
  for (const Glycol glycol : {Glycol::ethylene, Glycol::propylene}) {
    for (double volume = 0.5; volume <= 60.0; volume += 0.5) {
      const CoolantMix mix{glycol, volume};
      for (double t = std::max(-35.0, freezing_point_c(mix).value()); t <= 124.0; t += 1.0) {
        CAPTURE(volume);
        CAPTURE(t);
        const CoolantHeat here = coolant_heat(mix, t);
        const CoolantHeat warmer = coolant_heat(mix, t + 1.0);
        const CoolantHeat stronger = coolant_heat({glycol, std::min(volume + 0.5, 60.0)}, t);
        CHECK(std::abs(warmer.density_kg_per_m3 - here.density_kg_per_m3) <= 1.2);
        CHECK(std::abs(warmer.capacity_j_per_kg_k - here.capacity_j_per_kg_k) <= 8.0);
        CHECK(stronger.density_kg_per_m3 >= here.density_kg_per_m3 - 0.2);
        CHECK(std::abs(stronger.density_kg_per_m3 - here.density_kg_per_m3) <= 1.5);
        CHECK(stronger.capacity_j_per_kg_k <= here.capacity_j_per_kg_k);
        CHECK(stronger.capacity_j_per_kg_k >= here.capacity_j_per_kg_k - 20.0);
      }
    }
  }
}

TEST_CASE("beyond its range density and heat capacity are those of its end") {
  const CoolantMix half{Glycol::ethylene, 50.0};
  const auto same = [](const CoolantHeat& a, const CoolantHeat& b) {
    return a.density_kg_per_m3 == b.density_kg_per_m3 &&
           a.capacity_j_per_kg_k == b.capacity_j_per_kg_k;
  };
  CHECK(same(coolant_heat(half, 400.0), coolant_heat(half, 125.0)));
  CHECK(same(coolant_heat(half, -80.0), coolant_heat(half, -35.0)));
  CHECK(same(
      coolant_heat({Glycol::ethylene, 10.0}, -30.0),
      coolant_heat({Glycol::ethylene, 10.0}, freezing_point_c({Glycol::ethylene, 10.0}).value())));
  CHECK(same(coolant_heat({Glycol::propylene, 80.0}, 20.0),
             coolant_heat({Glycol::propylene, 60.0}, 20.0)));
  CHECK(same(coolant_heat({Glycol::none, 0.0}, -9.0), coolant_heat({Glycol::none, 0.0}, 0.0)));
  CHECK(std::isnan(coolant_heat({Glycol::ethylene, std::numeric_limits<double>::quiet_NaN()}, 20.0)
                       .density_kg_per_m3));
}
