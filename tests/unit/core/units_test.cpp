// SPDX-License-Identifier: Apache-2.0
// Every unit against its definition, and the spellings that logs use for it.
#include "coolband/core/units.hpp"

#include <doctest/doctest.h>

#include <string>
#include <string_view>

using namespace coolband;

namespace {

struct Known {
  std::string_view spelling;
  Quantity quantity;
  double value;
  double own;
};

// Definitions: °F and K by the International Temperature Scale's relation to °C; mile 1609.344 m,
// foot 0.3048 m (international yard, 1959); knot 1852 m/h; psi from the pound-force and the inch;
// kgf from the standard fall of 9.80665 m/s2; US gallon 231 cubic inches, imperial one 4.54609 L.
constexpr Known k_known[] = {{"C", Quantity::temperature, 81.5, 81.5},
                             {"degF", Quantity::temperature, 212.0, 100.0},
                             {"F", Quantity::temperature, -40.0, -40.0},
                             {"K", Quantity::temperature, 273.15, 0.0},
                             {"mph", Quantity::speed, 60.0, 96.56064},
                             {"m/s", Quantity::speed, 10.0, 36.0},
                             {"knots", Quantity::speed, 10.0, 18.52},
                             {"ft", Quantity::length, 1000.0, 304.8},
                             {"ms", Quantity::time, 1500.0, 1.5},
                             {"min", Quantity::time, 2.0, 120.0},
                             {"h", Quantity::time, 0.5, 1800.0},
                             {"ns", Quantity::time, 1e9, 1.0},
                             {"ft/s", Quantity::speed, 10.0, 10.97280},
                             {"1/s", Quantity::rotation, 15.0, 900.0},
                             {"rad/s", Quantity::rotation, 104.719755119660, 1000.0},
                             {"km", Quantity::length, 1.2, 1200.0},
                             {"bar", Quantity::pressure, 1.1, 110.0},
                             {"psi", Quantity::pressure, 14.503773773022, 100.0},
                             {"U/min", Quantity::rotation, 900.0, 900.0},
                             {"Prozent", Quantity::ratio, 50.0, 50.0},
                             {"hPa", Quantity::pressure, 1013.25, 101.325},
                             {"MPa", Quantity::pressure, 0.11, 110.0},
                             {"kgf/cm²", Quantity::pressure, 1.1, 107.87315},
                             {"Litres", Quantity::volume, 7.5, 7.5},
                             {"mL", Quantity::volume, 250.0, 0.25},
                             {"cl", Quantity::volume, 75.0, 0.75},
                             {"gal", Quantity::volume, 2.5, 9.46352946},
                             {"US gal.", Quantity::volume, 1.0, 3.785411784},
                             {"quarts", Quantity::volume, 4.0, 3.785411784},
                             {"pints", Quantity::volume, 8.0, 3.785411784},
                             {"imp. gal", Quantity::volume, 1.0, 4.54609},
                             {"UK quarts", Quantity::volume, 4.0, 4.54609},
                             {"imperial pints", Quantity::volume, 8.0, 4.54609}};

} // namespace

TEST_CASE("each unit turns into coolband's own unit as it is defined, and back") {
  for (const Known& known : k_known) {
    CAPTURE(known.spelling);
    const auto unit = unit_named(known.spelling);
    REQUIRE(unit);
    CHECK(unit->quantity == known.quantity);
    CHECK(unit->to_own(known.value) == doctest::Approx(known.own).epsilon(1e-9));
    CHECK((known.own - unit->offset) / unit->scale == doctest::Approx(known.value).epsilon(1e-9));
  }
}

TEST_CASE("a degree sign may be there, missing, Latin-1, doubly encoded or another ring") {
  for (const char* spelling : {"\xC2\xB0"
                               "F",
                               "\xB0"
                               "F",
                               "\xC3\x82\xC2\xB0"
                               "F",
                               "\xC2\xBA"
                               "F",
                               " deg F ", "DEGF", "Fahrenheit"}) {
    CAPTURE(spelling);
    const auto unit = unit_named(spelling);
    REQUIRE(unit);
    CHECK(unit->name == "\xC2\xB0"
                        "F");
    CHECK(unit->to_own(32.0) == doctest::Approx(0.0));
  }
}

TEST_CASE("m is metres, min is minutes, and ms is not m/s") {
  CHECK(unit_named("m")->quantity == Quantity::length);
  CHECK(unit_named("min")->quantity == Quantity::time);
  CHECK(unit_named("ms")->quantity == Quantity::time);
  CHECK(unit_named("m/s")->quantity == Quantity::speed);
  CHECK(unit_named("MIN")->to_own(1.0) == 60.0);
}

TEST_CASE("a unit of another quantity, an unknown one and none at all are no unit") {
  CHECK(unit_named("F", Quantity::temperature));
  CHECK_FALSE(unit_named("F", Quantity::length));
  CHECK_FALSE(unit_named("m", Quantity::time));
  CHECK_FALSE(unit_named("furlong"));
  CHECK_FALSE(unit_named(""));
  CHECK_FALSE(unit_named("\xC2\xB0")); // a lone degree sign could be an angle
}

TEST_CASE("units are known in the words of nine languages") {
  const std::pair<std::string_view, std::string_view> cases[] = {
      {"U/min", "rpm"},
      {"tr/min", "rpm"},
      {"giri/min", "rpm"},
      {"obr./min", "rpm"},
      {"varv/min", "rpm"},
      {"omw/min", "rpm"},
      {"1/min", "rpm"},
      {"r/min", "rpm"},
      {"min-1", "rpm"},
      {"min⁻¹", "rpm"},
      {"min^-1", "rpm"},
      {"R.P.M.", "rpm"},
      {"rotações/min", "rpm"},
      {"km/h", "km/h"},
      {"km/u", "km/h"},
      {"km/godz", "km/h"},
      {"kph", "km/h"},
      {"km per hour", "km/h"},
      {"miles per hour", "mph"},
      {"kn", "kn"},
      {"nœuds", "kn"},
      {"Grad C", "°C"},
      {"degrés C", "°C"},
      {"grados C", "°C"},
      {"graus C", "°C"},
      {"gradi C", "°C"},
      {"graden C", "°C"},
      {"grader C", "°C"},
      {"stopnie C", "°C"},
      {"℃", "°C"},
      {"℉", "°F"},
      {"deg C", "°C"},
      {"deg. C", "°C"},
      {"Prozent", "%"},
      {"pour cent", "%"},
      {"por ciento", "%"},
      {"por cento", "%"},
      {"per cento", "%"},
      {"procent", "%"},
      {"percent", "%"},
      {"Stunden", "h"},
      {"heures", "h"},
      {"horas", "h"},
      {"uren", "h"},
      {"timmar", "h"},
      {"godz.", "h"},
      {"Minuten", "min"},
      {"minuti", "min"},
      {"sek", "s"},
      {"segundos", "s"},
      {"sekundy", "s"},
      {"Millisekunden", "ms"},
      {"milissegundos", "ms"},
      {"µs", "µs"},
      {"mètres", "m"},
      {"metrów", "m"},
      {"Fuß", "ft"},
      {"pieds", "ft"},
      {"hora", ""},
      {"", ""},
  };
  for (const auto& [spelling, name] : cases) {
    const std::string told(spelling);
    const auto unit = unit_named(spelling);
    CHECK_MESSAGE((unit ? unit->name : "") == name, told);
  }
}
