// SPDX-License-Identifier: Apache-2.0
// Long tables and tables with one signal a row, as a person would read them.
#include "unit/import/import_helpers.hpp"

#include <cmath>

using namespace coolband;
using namespace coolband::test;

namespace {

constexpr std::string_view k_long = "time,signal,value,unit\n"
                                    "0,Engine coolant temperature,176,degF\n"
                                    "0.2,Vehicle speed,0,km/h\n"
                                    "0.4,Cabin light,1,\n"
                                    "1,Engine coolant temperature,185,degF\n"
                                    "1.2,Vehicle speed,10,km/h\n"
                                    "2,Engine coolant temperature,194,degF\n"
                                    "2.2,Vehicle speed,n/a,km/h\n";

} // namespace

TEST_CASE("a long table gives a row for each turn of its signals, in their units") {
  const Recording log = read(k_long);
  CHECK(log.how.shape == "long");
  REQUIRE(log.size() == 3);
  CHECK(log.time_s == std::vector<double>{0, 1, 2});
  CHECK(log.column(Role::coolant)[0] == doctest::Approx(80.0));
  CHECK(log.column(Role::coolant)[2] == doctest::Approx(90.0));
  CHECK(log.column(Role::speed)[1] == 10.0F);
  CHECK(std::isnan(log.column(Role::speed)[2]));
  CHECK(reading_of(log, Role::coolant)->unit == "°F");
  CHECK(reading_of(log, Role::coolant)->unit_origin == "unit column");
  CHECK(reading_of(log, Role::coolant)->column == 3);
  CHECK(heading_of(log, Role::coolant) == "Engine coolant temperature");
  CHECK(log.how.ignored == std::vector<std::string>{"Cabin light"});
  CHECK(listed(log.how.missing_cells) == "speed is missing x1 @7:8");
  CHECK(log.row_map.at(1).line == 5);
}

TEST_CASE("a long table without a unit column takes the unit from the name of the signal") {
  const Recording log = read("timestamp;name;value\n"
                             "0;Coolant temp [degC];80,5\n0;Load (%);30\n"
                             "1;Coolant temp [degC];81,5\n1;Load (%);31\n");
  REQUIRE(log.size() == 2);
  CHECK(log.column(Role::coolant)[1] == 81.5F);
  CHECK(log.column(Role::load)[1] == 31.0F);
  CHECK(reading_of(log, Role::load)->unit_origin == "heading");
}

TEST_CASE("a signal that changes its unit is turned into its first one") {
  const Recording log = read("time,signal,value,unit\n0,coolant,80,degC\n1,coolant,176,degF\n"
                             "2,coolant,81,degC\n");
  REQUIRE(log.size() == 3);
  CHECK(log.column(Role::coolant)[1] == doctest::Approx(80.0));
}

TEST_CASE("the user names the parts of a long table and the signal that is coolant") {
  const std::string text = "a,b,c\n0,T7,80\n0,N1,900\n1,T7,81\n1,N1,905\n";
  CHECK(refusal(text).find("no time column") != std::string::npos);
  const Recording log =
      read(text, choosing({"time=a", "signal=b", "value=c", "coolant=T7", "rpm=N1"}));
  REQUIRE(log.size() == 2);
  CHECK(log.column(Role::coolant) == std::vector<float>{80.0F, 81.0F});
  CHECK(log.column(Role::rpm) == std::vector<float>{900.0F, 905.0F});
}

TEST_CASE("a long table without headings is read by column numbers") {
  const Recording log = read("0,coolant,80\n0,rpm,900\n1,coolant,81\n1,rpm,905\n",
                             choosing({"time=1", "signal=2", "value=3"}));
  REQUIRE(log.size() == 2);
  CHECK(log.column(Role::coolant)[1] == 81.0F);
}

TEST_CASE("a wide table with one signal a row is put together turn by turn") {
  const Recording log = read("time_s,coolant_c,rpm,speed_kmh\n"
                             "0,80,,\n0.3,,900,\n0.6,,,10\n1,81,,\n1.3,,905,\n1.6,,,12\n");
  CHECK(log.how.shape == "one signal a row");
  REQUIRE(log.size() == 2);
  CHECK(log.column(Role::rpm) == std::vector<float>{900.0F, 905.0F});
  CHECK(log.how.missing_cells.empty());
  CHECK(log.how.rows == 6);
}

TEST_CASE("a wide table with gaps stays as it is") {
  const Recording log = read("time_s,coolant_c,rpm\n0,80,900\n1,,905\n2,81,910\n3,82,\n");
  CHECK(log.how.shape == "wide");
  CHECK(log.size() == 4);
  CHECK(listed(log.how.missing_cells) == "coolant is missing x1 @2:3; rpm is missing x1 @4:5");
}

TEST_CASE("bad rows of a long table are counted with their place") {
  const Recording log = read("time,signal,value\n0,coolant,80\nx,coolant,80\n1,,80\n2,coolant\n"
                             "3,coolant,warm\n4,coolant,81\n5,coolant,82\n6,coolant,82\n");
  CHECK(listed(log.how.set_aside) == "time not readable x1 @2:3; name of the signal is missing "
                                     "x1 @3:4; too few fields x1 @4:5");
  CHECK(listed(log.how.missing_cells) == "coolant is not a number x1 @5:6");
  CHECK(log.size() == 4);
}

TEST_CASE("trips and vehicles of a long table are texts") {
  const Recording log = read("time,signal,value\n0,coolant,80\n0,vehicle id,A\n1,coolant,81\n"
                             "1,vehicle id,A\n2,coolant,82\n2,vehicle id,B\n3,coolant,83\n");
  REQUIRE(log.text_changes.size() == 2);
  CHECK(log.text_changes[1].text == "B");
  CHECK(log.text_changes[1].index == 2);
}

TEST_CASE("a long table as JSON lines is read the same way") {
  const Recording log =
      read("{\"time\":0,\"signal\":\"coolant\",\"value\":80,\"unit\":\"degC\"}\n"
           "{\"time\":1,\"signal\":\"coolant\",\"value\":81,\"unit\":\"degC\"}\n");
  CHECK(log.how.shape == "long");
  CHECK(log.column(Role::coolant) == std::vector<float>{80.0F, 81.0F});
}

TEST_CASE("a long table without one known signal is refused by what it lacks") {
  const std::string text = refusal("time,signal,value\n0,cabin light,1\n1,cabin light,0\n");
  CHECK(text.find("coolant") != std::string::npos);
}

TEST_CASE("headings that come again in another order are followed") {
  const Recording log = read("time_s,coolant_c,load_pct\n0,80,30\n1,81,31\n"
                             "load_pct,time_s,coolant_c\n32,2,82\n33,3,83\n"
                             "time_s,extra,coolant_c,load_pct\n4,x,84,34\n5,y,85,35\n");
  REQUIRE(log.size() == 6);
  CHECK(log.column(Role::coolant) == std::vector<float>{80, 81, 82, 83, 84, 85});
  CHECK(log.column(Role::load) == std::vector<float>{30, 31, 32, 33, 34, 35});
  CHECK(listed(log.how.set_aside) == "repeated heading x2 @3:4");
}

TEST_CASE("rows under other headings are not read by the old ones") {
  const Recording log = read("time_s,coolant (C),load_pct\n0,80,30\n1,81,31\n2,82,32\n3,82,32\n"
                             "time_s,coolant (F),load_pct\n4,180,30\n5,181,30\n"
                             "time_s,coolant (C),load_pct\n6,83,33\n");
  CHECK(log.column(Role::coolant) == std::vector<float>{80, 81, 82, 82, 83});
  CHECK(listed(log.how.set_aside) ==
        "repeated heading x2 @5:6; stands under the other headings of line 6 x2 @6:7");
}

TEST_CASE("raw frames of SAE J1939 are a log like any other") {
  // PGN 65262 (coolant 0x84: 92 °C) and 65265 (80 km/h), from address 0.
  std::string text = "time,can id,data\n";
  for (int i = 0; i < 4; ++i) {
    text += std::to_string(i) + ",18FEEE00,84FFFFFFFFFFFFFF\n";
    text += std::to_string(i) + ".5,18FEF100,FF0050FFFFFFFFFF\n";
  }
  text +=
      "4,18FEEE00,FEFFFFFFFFFFFFFF\n4.5,18FEEE00,FFFFFFFFFFFFFFFF\n5,18FEEE00,85FFFFFFFFFFFFFF\n";
  const Recording log = read(text);
  CHECK(log.how.shape == "SAE J1939 frames");
  REQUIRE(log.size() == 5);
  CHECK(log.column(Role::coolant) == std::vector<float>{92, 92, 92, 92, 93});
  CHECK(log.column(Role::speed)[0] == 80.0F);
  CHECK(reading_of(log, Role::coolant)->unit_origin == "standard");
  CHECK(reading_of(log, Role::coolant)->column == 3);
  CHECK(listed(log.how.missing_cells).find("coolant is an error value x1 @9:10") !=
        std::string::npos);
  CHECK(listed(log.how.missing_cells).find("coolant is not available x1 @10:11") !=
        std::string::npos);
}

TEST_CASE("responses of SAE J1979 are a log like any other") {
  const Recording log = read("timestamp;response\n0;41 05 7B\n0.2;41 0C 1A F8\n1;41 05 7C\n"
                             "1.2;NO DATA\n1.4;7F 01 12\n2;41 05 7D\n");
  CHECK(log.how.shape == "SAE J1979 frames");
  REQUIRE(log.size() == 3);
  CHECK(log.column(Role::coolant) == std::vector<float>{83, 84, 85});
  CHECK(log.column(Role::rpm)[0] == 1726.0F);
  CHECK(listed(log.how.set_aside) == "no data in the frame x1 @4:5; negative response x1 @5:6");
}

TEST_CASE("the finer coolant of SAE J1939 is taken when it has values, else the coarse one") {
  const std::string head = "time,can id,data\n";
  const auto rows = [](const std::string& fine) {
    std::string text;
    for (int i = 0; i < 4; ++i) {
      text += std::to_string(i) + ",18FEEE00,84FFFFFFFFFFFFFF\n";
      text += std::to_string(i) + ",18FE6900,FFFF" + fine + "FFFFFFFF\n";
    }
    return text;
  };
  CHECK(read(head + rows("B02D")).column(Role::coolant)[0] == 92.5F);
  CHECK(read(head + rows("FFFF")).column(Role::coolant)[0] == 92.0F);
}
