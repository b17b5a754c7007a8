// SPDX-License-Identifier: Apache-2.0
// Whole CSV logs: delimiters, decimal marks, headings, units rows, and what is set aside.
#include "unit/import/import_helpers.hpp"

#include "import/byte_source.hpp"

#include <algorithm>
#include <cstdio>
#include <fstream>

#include <fmt/core.h>
#include <unistd.h>

using namespace coolband;
using namespace coolband::test;

TEST_CASE("a plain log is read into columns in coolband's own units") {
  const Recording log =
      read("time_s,coolant_c,load_pct,speed (mph)\n0,20,10,0\n1,20.5,15.5,10\n2.5,21,20,20\n");
  CHECK(log.how.format == "csv");
  CHECK(log.how.delimiter == "comma");
  CHECK(log.how.clock == "seconds");
  CHECK(log.how.header_line == 1);
  CHECK(log.how.rows == 3);
  CHECK(log.time_s == std::vector<double>{0.0, 1.0, 2.5});
  CHECK(log.column(Role::coolant) == std::vector<float>{20.0F, 20.5F, 21.0F});
  CHECK(log.column(Role::speed)[1] == doctest::Approx(16.09344));
  CHECK_FALSE(log.has(Role::ambient));
  CHECK(log.how.notes.empty());
  CHECK(log.row_map.at(2).row == 3);
  CHECK(log.row_map.at(2).line == 4);
  const ColumnReading* speed = reading_of(log, Role::speed);
  REQUIRE(speed != nullptr);
  CHECK(speed->column == 4);
  CHECK(speed->unit == "mph");
  CHECK(speed->unit_origin == "heading");
}

TEST_CASE("every delimiter is recognised, with decimal commas and grouped thousands") {
  const Recording log =
      read("Zeit;K\xC3\xBChlmitteltemperatur;Motordrehzahl\n0,0;85,5;1.234\n0,5;85,6;2.345,5\n");
  CHECK(log.how.delimiter == "semicolon");
  CHECK(log.how.decimal_comma);
  CHECK(log.time_s[1] == 0.5);
  CHECK(log.column(Role::coolant)[0] == 85.5F);
  CHECK(log.column(Role::rpm) == std::vector<float>{1234.0F, 2345.5F});
  CHECK(read("time\tect\n0\t85,5\n1\t86,5\n").how.delimiter == "tab");
  CHECK(read("time|ect\n0|85\n1|86\n").how.delimiter == "pipe");
  CHECK(read("sep=;\r\ntime;ect\r\n0;85\r\n1;86\r\n").how.header_line == 2);
  CHECK(read("time,ect\n0,\"85,5\"\n1,\"86,5\"\n").column(Role::coolant)[1] == 86.5F);
}

TEST_CASE("a byte order mark, CRLF, blanks and a trailing delimiter do no harm") {
  const Recording log = read("\xEF\xBB\xBFtime_s, coolant_c ,\r\n0, 90 ,\r\n 1,91,\r\n");
  CHECK(log.column(Role::coolant) == std::vector<float>{90.0F, 91.0F});
  CHECK(heading_of(log, Role::time) == "time_s");
  CHECK(log.how.set_aside.empty());
}

TEST_CASE("lines above the headings are skipped and said") {
  const Recording log = read("Log of trip\nDate, 2031-03-04\n# "
                             "remark\ntime_s,coolant_c,rpm\n0,90,800\n1,91,810\n2,92,800\n");
  CHECK(log.how.header_line == 4);
  CHECK(log.size() == 3);
  CHECK(has_note(log, "2 lines before the headings skipped"));
  CHECK(log.row_map.at(0).line == 5);
}

TEST_CASE("one line above the headings is skipped and said, too, and none is not") {
  CHECK(has_note(read("Log of trip\ntime_s,coolant_c,rpm\n0,90,800\n1,91,810\n2,92,800\n"),
                 "1 line before the headings skipped"));
  const Recording plain = read("time_s,coolant_c,rpm\n0,90,800\n1,91,810\n2,92,800\n");
  CHECK(std::none_of(plain.how.notes.begin(), plain.how.notes.end(), [](const std::string& note) {
    return note.find("before the headings") != std::string::npos;
  }));
}

TEST_CASE("headings behind a comment mark are used when nothing else is there") {
  const Recording log = read("# made by a logger\n# time_s,coolant_c\n0,90\n1,91\n");
  CHECK(log.how.header_line == 2);
  CHECK(heading_of(log, Role::coolant) == "coolant_c");
  CHECK(log.size() == 2);
}

TEST_CASE("a row of units below the headings is used") {
  const Recording log = read("time,coolant,speed,note\ns,[degF],mph,\n0,212,10,\n1,194,20,x\n");
  CHECK(log.how.rows == 2);
  CHECK(log.column(Role::coolant)[0] == doctest::Approx(100.0));
  CHECK(reading_of(log, Role::coolant)->unit_origin == "units row");
  CHECK(log.row_map.at(0).line == 3);
}

TEST_CASE("rows that cannot be used are set aside by reason with their first place") {
  const Recording log =
      read("time_s,coolant_c,load_pct\n"
           "0,90,10\n1,91,11\n2,ERR,12\n3,93\n4,94,14,99\nx,95,15\n,96,16\n"
           "5,95,15,\ntime_s,coolant_c,load_pct\n4,94,14\n6,-,n/a\n7,97,bad\n8,98,18\n"
           "9,99,19\n10,99,20\n11,99,20\n12,99,20\n");
  CHECK(listed(log.how.set_aside) == "coolant is not a number x1 @3:4; too few fields x1 @4:5; "
                                     "too many fields x1 @5:6; time not readable x1 @6:7; "
                                     "time is missing x1 @7:8; repeated heading x1 @9:10; "
                                     "time steps back x1 @10:11");
  CHECK(listed(log.how.missing_cells) == "coolant is missing x1 @11:12; load is missing x1 @11:12; "
                                         "load is not a number x1 @12:13");
  CHECK(log.how.rows == 17);
  CHECK(log.size() == 10);
  CHECK(std::isnan(log.column(Role::coolant)[3]));
  CHECK(log.row_map.at(2).row == 8);
  CHECK(log.row_map.at(3).row == 11);
  CHECK(log.row_map.at(9).line == 18);
}

TEST_CASE("equal times are kept and a clock that was set back is kept, both counted") {
  const Recording log = read("time_s,coolant_c\n0,90\n0,91\n100,92\n0,93\n1,94\n");
  CHECK(log.time_s == std::vector<double>{0, 0, 100, 0, 1});
  CHECK(listed(log.how.clock_events) ==
        "same time as the row before (kept) x1 @2:3; clock set back, by up to 100 s (a new trip "
        "starts) x1 @4:5");
}

TEST_CASE("texts of trip and vehicle part the log") {
  const Recording log = read("time_s,coolant_c,trip_id\n0,90,a\n1,91,\n2,92,a\n3,93,b\n");
  REQUIRE(log.text_changes.size() == 2);
  CHECK(log.text_changes[0].index == 0);
  CHECK(log.text_changes[0].text == "a");
  CHECK(log.text_changes[1].index == 3);
  CHECK(log.text_changes[1].role == Role::trip);
}

TEST_CASE("switches are read as 1 and 0") {
  const Recording log = read("time_s,coolant_c,fan,heater\n0,90,on,true\n1,91,OFF,0\n2,91,1,no\n");
  CHECK(log.column(Role::fan) == std::vector<float>{1.0F, 0.0F, 1.0F});
  CHECK(log.column(Role::heater) == std::vector<float>{1.0F, 0.0F, 0.0F});
}

TEST_CASE("the better phrase wins, whatever the order of the columns") {
  const Recording log = read("time_s,Coolant temp 2,ECT (C),gps speed,speed,abs load,calc "
                             "load\n0,1,90,2,3,4,5\n1,1,91,2,3,4,5\n");
  CHECK(heading_of(log, Role::coolant) == "ECT (C)");
  CHECK(heading_of(log, Role::speed) == "speed");
  CHECK(heading_of(log, Role::load) == "calc load");
  CHECK(log.how.ignored == std::vector<std::string>{"Coolant temp 2", "gps speed", "abs load"});
}

TEST_CASE("a small t is time where nothing else is and the coolant is known") {
  const Recording log = read("t,coolant_c\n0,90\n1,91\n");
  CHECK(heading_of(log, Role::time) == "t");
  CHECK(has_note(log, "\"t\" is taken for time"));
  CHECK(heading_of(read("t,time_s,coolant_c\n5,0,90\n5,1,91\n"), Role::time) == "time_s");
  for (const char* unclear :
       {"T,coolant_c\n0,90\n1,91\n", "t,t,coolant_c\n0,0,90\n1,1,91\n", "t,rpm\n0,900\n1,910\n"})
    CHECK(refusal(unclear).find("no time column") != std::string::npos);
}

TEST_CASE("a bare temperature is coolant alone, ambient among weather, and nothing elsewhere") {
  CHECK(heading_of(read("time_s,temperature\n0,90\n1,91\n"), Role::coolant) == "temperature");
  const Recording weather =
      read("time_s,engine_temperature,temperature,relative_humidity\n0,90,20,50\n1,91,20,50\n");
  CHECK(heading_of(weather, Role::ambient) == "temperature");
  const Recording unclear = read("time_s,coolant_c,temperature\n0,90,20\n1,91,20\n");
  CHECK_FALSE(unclear.has(Role::ambient));
  CHECK(has_note(unclear, "say --column ambient=\"temperature\""));
  CHECK(
      refusal("time_s,temperature,humidity\n0,20,50\n1,20,51\n").find("perhaps \"temperature\"?") !=
      std::string::npos);
}

TEST_CASE("the user's choice beats recognition, by heading or by number") {
  const char* text = "time_s,coolant_c,x\n0,90,194\n1,91,212\n";
  const Recording log = read(text, choosing({"coolant= X :degF"}));
  CHECK(log.column(Role::coolant)[1] == doctest::Approx(100.0));
  CHECK(reading_of(log, Role::coolant)->unit_origin == "given");
  CHECK(heading_of(read(text, choosing({"coolant=3"})), Role::coolant) == "x");
}

TEST_CASE("a log without headings is read when the columns are given by number") {
  const Recording log =
      read("0,90,10\n1,91,11\n2,92,12\n", choosing({"time=1", "coolant=2", "load=3"}));
  CHECK(log.size() == 3);
  CHECK(log.how.header_line == 0);
  CHECK(log.column(Role::load)[2] == 12.0F);
  CHECK(heading_of(log, Role::coolant) == "column 2");
}

TEST_CASE("constants fill columns that the log lacks, and only those") {
  ImportOptions options;
  options.constants = {{Role::ambient, 21.0}, {Role::load, 30.0}};
  const Recording log = read("time_s,coolant_c,load_pct\n0,90,10\n1,91,11\n", options);
  CHECK(log.column(Role::ambient) == std::vector<float>{21.0F, 21.0F});
  CHECK(log.column(Role::load)[0] == 10.0F);
  CHECK(has_note(log, "the log has load: its column is used, not the 30 that was given"));
  REQUIRE(log.how.columns.size() == 4);
  CHECK(log.how.columns[2].role == Role::ambient);
  CHECK(log.how.columns[2].heading == "(given)");
  CHECK(log.how.columns[2].unit == "°C");
  CHECK(log.how.columns[2].column == 0);
}

TEST_CASE("a file and memory give the same recording") {
  const std::string path = "import_test_" + std::to_string(::getpid()) + ".csv";
  std::string text = "time_s,coolant_c\n";
  for (int i = 0; i < 60000; ++i)
    text += std::to_string(i) + "," + std::to_string(80 + i % 17) + ".25\n";
  std::ofstream(path, std::ios::binary) << text;
  const auto from_file = import_log(path);
  std::remove(path.c_str());
  REQUIRE(from_file.ok());
  const Recording from_memory = read(text);
  CHECK(from_file->size() == 60000);
  CHECK(from_file->time_s == from_memory.time_s);
  CHECK(from_file->column(Role::coolant) == from_memory.column(Role::coolant));
}

TEST_CASE("vehicles that alternate row by row are warned of") {
  const auto log_of = [](int rows_a_vehicle) {
    std::string text = "time_s,vehicle,coolant_c\n";
    for (int i = 0; i < 400; ++i)
      text += fmt::format("{},{},80\n", i, i / rows_a_vehicle % 2 == 0 ? "A" : "B");
    return read(text);
  };
  CHECK(has_note(log_of(1), "WARNING: rows of several vehicles alternate"));
  CHECK_FALSE(has_note(log_of(100), "WARNING: rows of several vehicles alternate"));
}
