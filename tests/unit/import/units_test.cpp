// SPDX-License-Identifier: Apache-2.0
// Units that a log does not state, told from its values; and the doubt about those it does.
#include "unit/import/import_helpers.hpp"

#include <fmt/core.h>

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

/// A warm-up of 5 minutes to `warm`, then as long as `hold_s` there, a row every 2 s.
Recording regulated(const std::string& heading, double cold, double warm, int hold_s) {
  std::string text = "time_s," + heading + "\n";
  for (int t = 0; t <= 300 + hold_s; t += 2) {
    const double share = t < 300 ? t / 300.0 : 1.0;
    const double ripple = t < 300 ? 0.0 : (t % 60 < 30 ? -1.5 : 1.5);
    text += std::to_string(t) + "," + std::to_string(cold + (warm - cold) * share + ripple) + "\n";
  }
  return read(text);
}

/// Rows of one more column beside a coolant at 90 °C.
Recording beside(const std::string& heading, const std::vector<std::string>& cells) {
  std::string text = "time_s,coolant_c," + heading + "\n";
  for (std::size_t i = 0; i < cells.size(); ++i)
    text += std::to_string(i) + ",90," + cells[i] + "\n";
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

TEST_CASE("°F that holds a plateau of °C is doubted, a short trip in the cold is not") {
  const Recording log = regulated("coolant (F)", 18, 90, 900);
  CHECK(has_note(log,
                 "WARNING: \"coolant (F)\" is given as °F, but its values look like °C; if they "
                 "are, say --column coolant=\"coolant (F)\":degC"));
  CHECK(log.column(Role::coolant)[300] < 40.0F); // read as stated all the same
  CHECK_FALSE(has_note(regulated("coolant (F)", 18, 90, 60), "WARNING"));
  CHECK_FALSE(has_note(warm_up("coolant (F)", 20, 105), "WARNING"));
  CHECK_FALSE(has_note(regulated("coolant (F)", 60, 195, 900), "WARNING"));
  CHECK_FALSE(has_note(regulated("coolant (F)", 80, 82, 900), "WARNING")); // soaking in the sun
}

TEST_CASE("kelvin is told from what only looks like it, and the other way round") {
  CHECK(has_note(regulated("coolant (K)", 18, 90, 300), "given as K, but its values look like °C"));
  CHECK(
      has_note(regulated("coolant (K)", 60, 195, 300), "given as K, but its values look like °F"));
  CHECK(has_note(regulated("coolant (C)", 290, 363, 300),
                 "given as °C, but its values look like K; if they are, say --column "
                 "coolant=\"coolant (C)\":K"));
  CHECK_FALSE(has_note(regulated("coolant (K)", 290, 363, 300), "WARNING"));
}

TEST_CASE("what the coolant's values cannot tell is said") {
  CHECK(
      has_note(warm_up("coolant", 40, 140), "WARNING: coolant has no unit, and its values up to"));
  CHECK(has_note(warm_up("coolant", 20, 60),
                 "coolant has no unit: read as °C; it never gets warm enough to tell it from °F"));
  CHECK_FALSE(has_note(warm_up("coolant", 20, 92), "warm enough"));
}

TEST_CASE("other temperatures without a unit follow the unit that the coolant states") {
  const Recording log = warm_up("coolant (F)", 68, 195);
  CHECK(has_note(log, "ambient has no unit: read as °F like the coolant"));
  CHECK(log.column(Role::ambient)[0] == doctest::Approx(20.0));
}

TEST_CASE("speed and altitude without a unit are assumed, and the note says how to state it") {
  const Recording log = read("time_s,coolant_c,speed,altitude\n0,90,50,300\n1,90,51,300\n");
  CHECK(has_note(
      log, "speed has no unit: read as km/h; if it is mph, say --column speed=\"speed\":mph"));
  CHECK(has_note(log, "altitude has no unit: read as m; if it is feet, say --column "
                      "altitude=\"altitude\":ft"));
}

TEST_CASE("load beyond full is noted, a raw byte is doubted, absolute load may be more") {
  CHECK(has_note(beside("load", {"20", "112"}), "load reaches 112 %, which some engines report"));
  const Recording byte = beside("load", {"40", "231"});
  CHECK(has_note(byte,
                 "WARNING: load reaches 231, which is no percentage; if \"load\" is a raw byte (0 "
                 "to 255), say --column load=\"load\":0-255"));
  CHECK(byte.column(Role::load)[1] == 231.0F);
  CHECK(has_note(beside("load", {"40", "4000"}), "WARNING: load reaches 4000"));
  CHECK_FALSE(has_note(beside("absolute load", {"40", "160"}), "load reaches"));
  CHECK_FALSE(has_note(beside("load", {"20", "100"}), "load reaches"));
  CHECK(has_note(beside("throttle (%)", {"20", "200"}), "WARNING: throttle reaches 200"));
  CHECK(has_note(beside("fan", {"0", "2400"}), "WARNING: fan reaches 2400"));
  CHECK(has_note(beside("load (%)", {"0.2", "0.85"}),
                 "WARNING: \"load (%)\" is given as %, but its values look like fractions of 1"));
  const auto scaled = import_text("time_s,coolant_c,load\n0,90,255\n1,90,51\n", "log",
                                  choosing({"load=load:0-255"}));
  REQUIRE(scaled.ok());
  CHECK(scaled->column(Role::load)[0] == doctest::Approx(100.0));
  CHECK(scaled->column(Role::load)[1] == doctest::Approx(20.0));
}

TEST_CASE("revolutions a second are told by their size, unless the heading says rpm") {
  const Recording told = beside("engine speed", {"13.5", "50"});
  CHECK(told.column(Role::rpm)[1] == doctest::Approx(3000.0));
  CHECK(has_note(told, "rpm has no unit: read as 1/s by its values"));
  const Recording stated = beside("rpm", {"13.5", "50"});
  CHECK(stated.column(Role::rpm)[1] == 50.0F);
  CHECK(has_note(stated, "WARNING: \"rpm\" is given as rpm, but its values look like revolutions a "
                         "second; if they are, say --column rpm=\"rpm\":1/s"));
  CHECK(beside("engine speed", {"0", "0"}).column(Role::rpm)[1] == 0.0F);
  CHECK(beside("engine speed", {"0", "780"}).column(Role::rpm)[1] == 780.0F);
}

TEST_CASE("thousands of revolutions are told by their size, unless the heading says rpm") {
  const Recording told = beside("engine speed", {"0.85", "3.1"});
  CHECK(told.column(Role::rpm)[1] == doctest::Approx(3100.0));
  CHECK(has_note(told, "rpm has no unit: read as 1000/min by its values"));
  CHECK(has_note(beside("rpm", {"0.85", "3.1"}),
                 "WARNING: \"rpm\" is given as rpm, but its values look like thousands of "
                 "revolutions a minute; if they are, say --column rpm=\"rpm\":1000/min"));
  CHECK(beside("rpm (x1000)", {"0.85", "3.1"}).column(Role::rpm)[1] == doctest::Approx(3100.0));
  // Whether the engine runs is no speed.
  CHECK(beside("engine speed", {"0", "1"}).column(Role::rpm)[1] == 1.0F);
}

TEST_CASE("coolant that would nearly boil in °C and be cool in °F is asked about") {
  const auto up_to = [](int high) {
    std::string text = "time_s,coolant\n";
    for (int i = 0; i < 40; ++i) text += fmt::format("{},{}\n", i, high);
    return read(text);
  };
  const char* const k_asked = "WARNING: coolant has no unit, and its values up to";
  CHECK(has_note(up_to(117), k_asked));
  CHECK(has_note(up_to(140), "would be very hot in °C and cool in °F"));
  CHECK_FALSE(has_note(up_to(110), k_asked));
}

TEST_CASE("air that is hotter than air gets is asked about where no unit is stated") {
  CHECK(has_note(beside("ambient", {"55", "54"}),
                 "WARNING: the outside temperature has no unit and reaches 55 °C; if it is °F, say "
                 "--column ambient=\"ambient\":degF"));
  CHECK_FALSE(has_note(beside("ambient", {"41", "42"}), "WARNING: the outside"));
  CHECK_FALSE(has_note(beside("ambient (°C)", {"55", "54"}), "WARNING: the outside"));
}

TEST_CASE("a warm-up that no engine has puts the unit of the time in doubt") {
  const auto rising = [](const std::string& heading, double step) {
    std::string text = heading + ",coolant_c\n";
    for (int i = 0; i < 60; ++i)
      text += fmt::format("{:g},{}\n", step * i, std::min(88, 20 + 2 * i));
    return read(text);
  };
  const char* const k_warned = "WARNING: the coolant warms from 40 to 70 °C within";
  CHECK(has_note(rising("time (ms)", 10.0), k_warned));
  CHECK(has_note(rising("elapsed", 1.0), "--column time=\"elapsed\":min"));
  CHECK_FALSE(has_note(rising("elapsed", 10.0), k_warned));
  CHECK_FALSE(has_note(rising("time (s)", 10.0), k_warned));
  // A reading that comes back is no warm-up.
  CHECK_FALSE(has_note(read("time_s,coolant_c\n0,20\n1,21\n2,85\n3,85\n"), k_warned));
}
