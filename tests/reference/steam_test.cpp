// SPDX-License-Identifier: Apache-2.0
// Water and air against the verification values of their standards.
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
