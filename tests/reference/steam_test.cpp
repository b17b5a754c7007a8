// SPDX-License-Identifier: Apache-2.0
// Water and air against the verification values of their standards.
#include "circuit/water_heat.hpp"
#include "coolband/circuit/coolant_fluid.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>

using namespace coolband;

namespace {

bool same(double computed, double printed, double relative) {
  CAPTURE(computed);
  CAPTURE(printed);
  return std::abs(computed - printed) <= relative * std::abs(printed);
}

} // namespace

// IAPWS R7-97(2012), tables 35 and 36; nine digits are printed.
TEST_CASE("the saturation line meets the verification values of IAPWS-IF97") {
  CHECK(same(water_saturation_pressure_kpa(300.0 - 273.15), 3.53658941, 2e-9));
  CHECK(same(water_saturation_pressure_kpa(500.0 - 273.15), 2638.89776, 2e-9));
  CHECK(same(water_saturation_pressure_kpa(600.0 - 273.15), 12344.3146, 5e-9));
  CHECK(same(water_saturation_temperature_c(100.0) + 273.15, 372.755919, 2e-9));
  CHECK(same(water_saturation_temperature_c(1000.0) + 273.15, 453.035632, 2e-9));
  CHECK(same(water_saturation_temperature_c(10000.0) + 273.15, 584.149488, 2e-9));
  CHECK(same(water_saturation_pressure_kpa(100.0), 101.41798, 1e-7));
  CHECK(std::abs(water_saturation_temperature_c(101.325) - 99.9743) <= 0.5e-4);
}

// ISO 2533 / ICAO Doc 7488, computed from its formula; the pressures printed there (898.746,
// 794.952, 701.085, 540.199, 226.32 hPa, from memory) are the same. Boiling after IF97.
TEST_CASE("the standard atmosphere and the boiling point of water in it match the table") {
  struct Row {
    double altitude_m;
    double pressure_pa;
    double boils_c;
  };
  for (const Row& row :
       {Row{0, 101325.00, 99.97}, Row{500, 95460.84, 98.31}, Row{1000, 89874.56, 96.65},
        Row{1500, 84555.99, 94.98}, Row{2000, 79495.20, 93.32}, Row{3000, 70108.53, 89.97},
        Row{4000, 61640.21, 86.62}, Row{5000, 54019.89, 83.25}, Row{11000, 22632.04, 62.76}}) {
    CAPTURE(row.altitude_m);
    const double pressure_kpa = atmospheric_pressure_kpa(row.altitude_m);
    CHECK(std::abs(1000.0 * pressure_kpa - row.pressure_pa) <= 0.02);
    CHECK(std::abs(water_saturation_temperature_c(pressure_kpa) - row.boils_c) <= 0.0051);
  }
}

// ISO 2533: H = r z / (r + z) with r = 6 356 766 m; 1000 m are 999.843 m.
TEST_CASE("geometric altitude becomes geopotential as ISO 2533 has it") {
  CHECK(std::abs(geopotential_altitude_m(1000.0) - 999.843) <= 0.0006);
  CHECK(geopotential_altitude_m(0.0) == 0.0);
  CHECK(std::abs(geopotential_altitude_m(-500.0) - -500.039) <= 0.0006);
}

// IAPWS R7-97(2012), table 5; nine digits are printed.
TEST_CASE("liquid water meets the verification values of IAPWS-IF97 region 1") {
  struct Row {
    double temperature_k;
    double pressure_mpa;
    double volume_m3_per_kg;
    double capacity_kj_per_kg_k;
  };
  for (const Row& row :
       {Row{300, 3, 0.100215168e-2, 0.417301218e1}, Row{300, 80, 0.971180894e-3, 0.401008987e1},
        Row{500, 3, 0.120241800e-2, 0.465580682e1}}) {
    CAPTURE(row.temperature_k);
    const CoolantHeat water = liquid_water(row.temperature_k, row.pressure_mpa);
    CHECK(same(1.0 / water.density_kg_per_m3, row.volume_m3_per_kg, 5e-9));
    CHECK(same(water.capacity_j_per_kg_k / 1000.0, row.capacity_kj_per_kg_k, 5e-9));
  }
}

// Average rise of water's boiling point per psi of cap at sea level, °F/psi, by IF97. The rule of
// thumb of 3 °F per psi is too high over a whole cap.
TEST_CASE("a psi of cap lifts the boiling point of water by less than 3 °F") {
  struct Row {
    double cap_psi;
    double mean_f_per_psi;
  };
  for (const Row& row : {Row{7, 2.90}, Row{13, 2.60}, Row{15, 2.52}, Row{16, 2.48}}) {
    CAPTURE(row.cap_psi);
    const double kpa = row.cap_psi * 6.894757293168;
    const double rise_k =
        water_saturation_temperature_c(101.325 + kpa) - water_saturation_temperature_c(101.325);
    CHECK(std::abs(1.8 * rise_k / row.cap_psi - row.mean_f_per_psi) <= 0.0051);
  }
}
