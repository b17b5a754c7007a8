// SPDX-License-Identifier: Apache-2.0
// Several columns for one role: the rule, step by step, and the note that tells of it.
#include "import/candidates.hpp"
#include "unit/import/import_helpers.hpp"

using namespace coolband;
using namespace coolband::test;

namespace {

/// A log of `rows` equal rows under `headings`.
Recording of_rows(const std::string& headings, const std::string& cells, int rows = 10) {
  std::string text = "time_s," + headings + "\n";
  for (int i = 0; i < rows; ++i) text += std::to_string(i) + "," + cells + "\n";
  return read(text);
}

std::string chosen(const std::string& headings, const std::string& cells, Role role) {
  return heading_of(of_rows(headings, cells), role);
}

} // namespace

TEST_CASE("candidates rank by values at all, tier, sensor number, count of values and place") {
  const RoleCandidate plain{3, 1, 1, 10};
  const auto before = [](RoleCandidate a, RoleCandidate b) {
    return better(a, b) && !better(b, a);
  };
  CHECK(before({9, 4, 5, 1}, {1, 1, 1, 0})); // a value at all beats everything
  CHECK(before({9, 1, 5, 1}, {1, 2, 1, 10}));
  CHECK(before({9, 1, 1, 1}, {1, 1, 2, 10}));
  CHECK(before({9, 1, 1, 10}, {1, 1, 1, 9}));
  CHECK(before({1, 1, 1, 10}, {9, 1, 1, 10}));
  CHECK_FALSE(better(plain, plain));
}

TEST_CASE("the column in use, the others, the reason and the option stand in one note") {
  const Recording tier = of_rows("gps speed,speed,coolant_c", "2,3,90");
  CHECK(heading_of(tier, Role::speed) == "speed");
  CHECK(has_note(tier, "speed is read from \"speed\", not from \"gps speed\" (its heading is "
                       "preferred); for another say --column speed=\"gps speed\""));
  const Recording sensor = of_rows("ECT 2,ECT,Coolant temp 3", "80,90,70");
  CHECK(heading_of(sensor, Role::coolant) == "ECT");
  CHECK(has_note(sensor,
                 "coolant is read from \"ECT\", not from \"ECT 2\" or \"Coolant temp 3\" (it "
                 "has the lower sensor number); for another say --column coolant=\"ECT 2\""));
  const Recording left = of_rows("ECT,CLT", "90,80");
  CHECK(heading_of(left, Role::coolant) == "ECT");
  CHECK(has_note(left, "coolant is read from \"ECT\", not from \"CLT\" (it is further left)"));
  CHECK(left.how.ignored == std::vector<std::string>{"CLT"});
}

TEST_CASE("a column without a value never wins over one with, and more values beat fewer") {
  const Recording empty = of_rows("ECT,Water temp", ",90");
  CHECK(heading_of(empty, Role::coolant) == "Water temp");
  CHECK(has_note(empty, "(the other has no values in the first rows)"));
  CHECK(chosen("ECT,Water temp", "n/a,90", Role::coolant) == "Water temp");
  CHECK(chosen("ECT,Engine temp", "warm,90", Role::coolant) == "Engine temp");
  std::string text = "time_s,ECT,CLT\n0,,80\n";
  for (int i = 1; i < 10; ++i) text += std::to_string(i) + ",90,80\n";
  const Recording sparse = read(text);
  CHECK(heading_of(sparse, Role::coolant) == "CLT");
  CHECK(has_note(sparse, "(it has more values in the first rows)"));
}

TEST_CASE(
    "two columns with one heading: the leftmost with values, a warning, and numbers to choose") {
  const Recording twice = of_rows("ECT,ECT", "90,80");
  CHECK(reading_of(twice, Role::coolant)->column == 2);
  CHECK(has_note(twice,
                 "WARNING: columns 2 and 3 are both called \"ECT\": coolant is read from column "
                 "2 (it is further left); for the other say --column coolant=3"));
  const Recording empty = of_rows("ECT,ECT", ",80");
  CHECK(reading_of(empty, Role::coolant)->column == 3);
  const auto other =
      import_text("time_s,ECT,ECT\n0,90,80\n1,90,80\n", "log", choosing({"coolant=3"}));
  REQUIRE(other.ok());
  CHECK(reading_of(*other, Role::coolant)->column == 3);
}

TEST_CASE("coolant and oil, road and satellite, intake and ambient each get their own role") {
  const Recording log =
      of_rows("oil temp,coolant temp,IAT,AAT,gps speed,vehicle speed,gps altitude",
              "95,90,30,20,50,52,300");
  CHECK(heading_of(log, Role::oil) == "oil temp");
  CHECK(heading_of(log, Role::coolant) == "coolant temp");
  CHECK(heading_of(log, Role::intake) == "IAT");
  CHECK(heading_of(log, Role::ambient) == "AAT");
  CHECK(heading_of(log, Role::speed) == "vehicle speed");
  CHECK(heading_of(log, Role::altitude) == "gps altitude");
}

TEST_CASE("what only stands in for a role is said") {
  CHECK(has_note(of_rows("engine temp", "90"),
                 "\"engine temp\" is taken for coolant, as no other column is"));
  const Recording both = of_rows("engine temp,coolant", "90,88");
  CHECK(heading_of(both, Role::coolant) == "coolant");
  CHECK_FALSE(has_note(both, "is taken for"));
}

TEST_CASE("a trip column with a new value in most rows is a measurement") {
  std::string text = "time_s,coolant_c,trip\n";
  for (int i = 0; i < 20; ++i) text += std::to_string(i) + ",90," + std::to_string(10 + i) + ".5\n";
  const Recording meter = read(text);
  CHECK(reading_of(meter, Role::trip) == nullptr);
  CHECK(has_note(meter,
                 "\"trip\" has a new value in most rows: it is not taken for trip; if it is, "
                 "say --column trip=\"trip\""));
  CHECK(heading_of(of_rows("coolant_c,trip", "90,7", 20), Role::trip) == "trip");
}

TEST_CASE("a near miss is suggested for a role that is open, and for no other") {
  const Recording log =
      of_rows("coolant_c,Throtle position,Vehicle sped,Amient temperature [C]", "90,10,50,20");
  CHECK(has_note(log, "\"Throtle position\" is not understood and not used; if it is throttle, say "
                      "--column throttle=\"Throtle position\""));
  CHECK(has_note(log, "if it is ambient, say --column ambient=\"Amient temperature [C]\""));
  CHECK_FALSE(has_note(log, "Vehicle sped")); // "sped" is too short to be sure
  const Recording filled = of_rows("coolant_c,throttle,Throtle position", "90,10,11");
  CHECK_FALSE(has_note(filled, "not understood"));
  CHECK(refusal("time_s,Engin Coolnt Temp\n0,90\n1,91\n").find("perhaps \"Engin Coolnt Temp\"?") !=
        std::string::npos);
}

TEST_CASE("other quantities are no near misses") {
  const std::vector<bool> all(k_role_count, true);
  for (const char* heading : {"Cat temp",
                              "EGT temp",
                              "EGT",
                              "Fuel temperature",
                              "Exhaust temperature",
                              "Coolant level",
                              "Coolant pressure",
                              "Oil pressure",
                              "Boost",
                              "Weight",
                              "Battery voltage",
                              "Engine torque",
                              "Transmission temperature",
                              "Intake pressure",
                              "Manifold pressure",
                              "Fuel level",
                              "Gear",
                              "Latitude",
                              "Longitude",
                              "Engine hours",
                              "Mass air flow",
                              "Lambda",
                              "Heading",
                              "Vehicle weight",
                              "Coolant temperature max",
                              "Fuel rate",
                              "Distance",
                              "Ignition timing",
                              "Commanded throttle actuator",
                              "Brake",
                              "Clutch",
                              "Notes",
                              "Comment",
                              "Status"}) {
    CHECK_MESSAGE(!role_nearly_named(heading, vocabulary(), all), std::string(heading));
  }
}

TEST_CASE("columns of cells are not used in a wide table, and a choice that asks for one says so") {
  const Recording log = of_rows("coolant_c,value,data", "90,1,2");
  CHECK(log.how.ignored == std::vector<std::string>{"value", "data"});
  // Asking for a long table wants the column of its values as well.
  CHECK(refusal("time_s,coolant_c,x\n0,90,1\n1,91,2\n", choosing({"signal=x"}))
            .find("no value column") != std::string::npos);
  const Recording told = read("time_s,coolant_c,x\n0,90,1\n1,91,2\n", choosing({"value=x"}));
  CHECK(has_note(told, "\"x\" is not used as value: this table has a column for each signal"));
}

TEST_CASE("data heads dates where its cells are dates") {
  const Recording log = read("Data;Ora;Temperatura acqua\n25/11/2026;10:00:00;80\n"
                             "25/11/2026;10:00:01;81\n25/11/2026;10:00:02;81\n");
  CHECK(heading_of(log, Role::coolant) == "Temperatura acqua");
  CHECK(has_note(log, "the date is taken from \"Data\""));
  TableHead head;
  head.sample = {{"25.11.2026", "0C 1A F8", "1.5"}, {"", "41 05 7B", "2.5"}};
  CHECK(holds_dates(head, 0));
  CHECK_FALSE(holds_dates(head, 1));
  CHECK_FALSE(holds_dates(head, 2));
}
