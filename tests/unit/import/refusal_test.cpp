// SPDX-License-Identifier: Apache-2.0
// What is refused, in the exact words that a person reads.
#include "unit/import/import_helpers.hpp"

using namespace coolband;
using namespace coolband::test;

TEST_CASE("files that are no logs are named for what they are") {
  const std::pair<std::string, std::string> cases[] = {
      {"", "log: the log is empty\n  give a log with a row of headings and rows of values"},
      {" \n\n", "log: the log is empty\n  give a log with a row of headings and rows of values"},
      {"PK\x03\x04zip", "log: this is a zip archive or a spreadsheet, not a log in text\n  unpack "
                        "it, or save the sheet as CSV"},
      {std::string("ELF\0\1\2time,coolant\n0,90\n", 24),
       "log: this is binary data, not a log in text\n  name a log in CSV or JSON, or export this "
       "one "
       "as CSV with what recorded it"},
      {"\x89PNG\r\n", "log: this is a picture, not a log in text\n  give the log that it shows, as "
                      "CSV or JSON"},
      {"trip.csv" + std::string(249, '\0') + "ustar" + std::string(250, '\0') + "time,coolant\n",
       "log: this is a tar archive, not a log in text\n  unpack it"},
      {"just a letter\nto a friend\n",
       "log:1: this is not a table: no comma, semicolon, tab or pipe splits its lines into "
       "columns\n"
       "  just a letter\n  coolband reads delimited text with a row of headings, and JSON; a log "
       "needs a "
       "column of times and one of coolant at least"},
      {"time_s,coolant_c\n",
       "log:1: the log has headings but no rows\n  time_s,coolant_c\n  check that the logger "
       "recorded anything, and that the file was copied whole"},
  };
  for (const auto& [text, expected] : cases) CHECK(refusal(text) == expected);
}

TEST_CASE("a file of coolband's own that is no log says what it is and where it belongs") {
  CHECK(refusal("{\n  \"schema\": \"coolband.vehicle/1\",\n  \"id\": \"warden-2\"\n}\n") ==
        "log: this is what is known of a vehicle (coolband.vehicle/1), not a log\n"
        "  give it as --profile log, and a log of the vehicle beside it");
  CHECK(refusal(R"({"note":"by hand","schema" : "coolband.band/1","drives":[{"source":"a"}]})") ==
        "log: this is a normal band (coolband.band/1), not a log\n"
        "  give it as --band log, and a log of the vehicle beside it");
  CHECK(refusal(R"([{"schema":"coolband.report/1","trip":{"rows":3}}])") ==
        "log: this is a report of 'coolband check' (coolband.report/1), not a log\n"
        "  give the log that it is of; a job comes of it by: coolband plan log");
  CHECK(refusal(R"({"schema":"coolband.other/3","id":7})") ==
        "log: this is no log, but what coolband wrote (coolband.other/3)\n"
        "  give the log that it was made from");
}

TEST_CASE("a log of records is read, whatever schema it names") {
  const auto log = import_text(R"([{"schema":"coolband.report/1","time_s":0,"coolant_c":80},)"
                               R"({"schema":"coolband.report/1","time_s":1,"coolant_c":81}])",
                               "log");
  REQUIRE(log.ok());
  CHECK(log->size() == 2);
  CHECK(refusal(R"({"schema":"coolband","id":7})").find("no time column") != std::string::npos);
  CHECK(refusal(R"({"schema":"coolband.vehicle)").find("what is known") == std::string::npos);
}

TEST_CASE("a path that cannot be read says why") {
  const auto missing = import_log("no/such/file.csv");
  REQUIRE_FALSE(missing.ok());
  CHECK(describe(missing.error()) == "no/such/file.csv: no such file\n  check the path");
  CHECK(missing.error().kind == ErrorKind::input);
  const auto directory = import_log(".");
  REQUIRE_FALSE(directory.ok());
  CHECK(describe(directory.error()) ==
        ".: this is a directory, not a log\n  name the log files in it");
}

TEST_CASE("a log without coolant or time lists its headings") {
  CHECK(refusal("time_s,rpm,speed_kmh\n0,800,0\n1,810,0\n") ==
        "log:1: no coolant column among the headings: time_s, rpm, speed_kmh\n"
        "  name it with --column coolant=\"HEADING\"");
  CHECK(refusal("time_s,coolnat\n0,90\n1,91\n").find("perhaps \"coolnat\"?") != std::string::npos);
  CHECK(refusal("coolant_c,rpm\n90,800\n91,810\n")
            .find("no time column among the headings: coolant_c, rpm") != std::string::npos);
}

TEST_CASE("two temperatures that nobody named are refused with a caret under the second") {
  CHECK(refusal("time_s,Temp 1,Temp 2\n0,90,80\n1,91,81\n") ==
        "log:1:15: \"Temp 1\" and \"Temp 2\" could both be coolant\n"
        "  time_s,Temp 1,Temp 2\n                ^\n"
        "  choose one with --column coolant=\"Temp 1\"");
  CHECK(
      refusal("time_s,Temp,Temp\n0,90,80\n1,91,81\n").find("choose one with --column coolant=2") !=
      std::string::npos);
  CHECK(refusal("time_s,Temp 2\n0,90\n1,91\n").find("perhaps \"Temp 2\"?") != std::string::npos);
}

TEST_CASE("a log without headings says how to name the columns") {
  CHECK(refusal("0,90,10\n1,91,11\n") ==
        "log:1: the log has no row of headings\n  0,90,10\n"
        "  say which columns are what by number, e.g. --column time=1 --column coolant=2");
  CHECK(refusal("# a trip\n\n0,90,10\n1,91,11\n")
            .find("log:3: the log has no row of headings\n  0,90,10\n") == 0);
}

TEST_CASE("a log of which most rows are unusable shows the first of them") {
  CHECK(refusal("time_s,coolant_c\n0,90\n1,x\n2,y\n3,z\n") ==
        "log:3: 3 of 4 rows cannot be used, the first because of: coolant is not a number\n  1,x\n"
        "  check the delimiter, the headings and the columns chosen (--column); a cell is a bare "
        "number, its unit stands in the heading");
}

TEST_CASE("a time column that is no time is refused") {
  CHECK(refusal("time,coolant_c\nmorning,90\nnoon,91\n")
            .find("log:1:1: the time column cannot be read as a time: e.g. 'morning'") == 0);
}

TEST_CASE("a choice that names no heading suggests the nearest") {
  const auto result =
      import_text("time_s,coolant_c\n0,90\n1,91\n", "log", choosing({"coolant=coolnat_c"}));
  REQUIRE_FALSE(result.ok());
  CHECK(result.error().kind == ErrorKind::usage);
  CHECK(describe(result.error()) == "log:1: no column is called 'coolnat_c'\n  time_s,coolant_c\n"
                                    "  did you mean --column coolant=\"coolant_c\"?");
}

TEST_CASE("a column choice is taken apart at the right colon") {
  const auto plain = parse_column_choice("coolant=Engine: temp (x)");
  REQUIRE(plain.ok());
  CHECK(plain->heading == "Engine: temp (x)");
  CHECK(plain->unit.empty());
  const auto unit = parse_column_choice("coolant=Engine: temp:degF");
  REQUIRE(unit.ok());
  CHECK(unit->heading == "Engine: temp");
  CHECK(unit->unit == "degF");
  CHECK(parse_column_choice("time=t:dmy")->unit == "dmy");
  CHECK(parse_column_choice("coolant=t:dmy")->heading == "t:dmy");
  CHECK(describe(parse_column_choice("coolent=x").error())
            .find("no column role is called 'coolent'\n  did you mean 'coolant'?") == 0);
  CHECK(
      describe(parse_column_choice("identifer=x").error())
          .find("no column role is called 'identifer'\n  did you mean 'identifier'? the roles are "
                "time, coolant, ambient, intake, load, rpm, speed, throttle, oil, altitude, fan, "
                "heater, trip, vehicle, signal, value, unit, identifier, frame") == 0);
  CHECK(parse_column_choice("load=x:0-255")->unit == "0-255");
  CHECK_FALSE(parse_column_choice("coolant").ok());
  CHECK_FALSE(parse_column_choice("coolant= ").ok());
}

TEST_CASE("roles and their names agree") {
  for (std::size_t i = 0; i < k_any_role_count; ++i) {
    const auto role = static_cast<Role>(i);
    CHECK(role_named(name_of(role)) == role);
  }
  CHECK_FALSE(role_named("Coolant"));
}
