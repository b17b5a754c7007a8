// SPDX-License-Identifier: Apache-2.0
// Units that a log does not state, told from its values; and the doubt about those it does.
#include "unit/import/import_helpers.hpp"

using namespace coolband;
using namespace coolband::test;

namespace {

/// A warm-up from `from` to `to` in a hundred steps.
Recording warm_up(const std::string& heading, double from, double to) {
  std::string text = "time_s," + heading + ",ambient\n";
  for (int i = 0; i <= 100; ++i) {
    text += std::to_string(i) + "," + std::to_string(from + (to - from) * i / 100.0) + "," +
            std::to_string(from) + "\n";
  }
  return read(text);
}

} // namespace

TEST_CASE("coolant without a unit is told by its high values, and ambient follows it") {
  const Recording celsius = warm_up("coolant", 20, 92);
  CHECK(reading_of(celsius, Role::coolant)->unit_origin == "assumed");
  CHECK(celsius.column(Role::coolant)[100] == 92.0F);
  CHECK(has_note(celsius, "coolant has no unit: read as °C"));
  const Recording fahrenheit = warm_up("coolant", 68, 203);
  CHECK(reading_of(fahrenheit, Role::coolant)->unit == "°F");
  CHECK(reading_of(fahrenheit, Role::coolant)->unit_origin == "values");
  CHECK(fahrenheit.column(Role::coolant)[100] == doctest::Approx(95.0));
  CHECK(fahrenheit.column(Role::ambient)[0] == doctest::Approx(20.0));
  CHECK(has_note(fahrenheit, "ambient has no unit: read as °F by the coolant's values"));
  const Recording kelvin = warm_up("coolant", 293.15, 363.15);
  CHECK(reading_of(kelvin, Role::coolant)->unit == "K");
  CHECK(kelvin.column(Role::coolant)[100] == doctest::Approx(90.0));
}

TEST_CASE("a stated unit is kept, but values that contradict it are noted loudly") {
  const Recording log = warm_up("coolant (C)", 68, 203);
  CHECK(log.column(Role::coolant)[100] == 203.0F);
  CHECK(has_note(log, "WARNING: \"coolant (C)\" is given as °C, but its values look like °F"));
  CHECK_FALSE(has_note(warm_up("coolant (C)", 20, 95), "WARNING"));
}

TEST_CASE("a load of fractions becomes percent, a load of small percents does not") {
  const Recording fraction = read("time_s,coolant_c,load\n0,90,0.2\n1,90,0.85\n2,90,1\n");
  CHECK(fraction.column(Role::load)[1] == doctest::Approx(85.0));
  CHECK(has_note(fraction, "load has no unit: read as fraction by its values"));
  CHECK(read("time_s,coolant_c,load\n0,90,0.2\n1,90,1.85\n").column(Role::load)[1] ==
        doctest::Approx(1.85));
  CHECK(read("time_s,coolant_c,load\n0,90,0\n1,90,1\n").column(Role::load)[1] == 1.0F);
  CHECK(read("time_s,coolant_c,load (0-1)\n0,90,0.5\n1,90,0.5\n").column(Role::load)[1] ==
        doctest::Approx(50.0));
  CHECK(read("time_s,coolant_c,load (%)\n0,90,0.2\n1,90,0.85\n").column(Role::load)[1] ==
        doctest::Approx(0.85));
}
