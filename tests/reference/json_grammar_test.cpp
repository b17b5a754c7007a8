// SPDX-License-Identifier: Apache-2.0
// Texts after the grammar of RFC 8259 (The JavaScript Object Notation Data Interchange Format),
// section by section: valid ones are read to the right value, an invalid one costs its record only.
#include "unit/import/import_helpers.hpp"

using namespace coolband;
using namespace coolband::test;

namespace {

constexpr std::string_view k_before = R"({"time_s":0,"coolant_c":80,"trip":"x"})";
constexpr std::string_view k_after = R"({"time_s":2,"coolant_c":82,"trip":"x"})";

/// The record between two good ones, as JSON lines (unless it has line ends) and in an array.
std::vector<std::string> logs_around(const std::string& record) {
  const std::string before(k_before);
  const std::string after(k_after);
  std::vector<std::string> logs{"[" + before + "," + record + "," + after + "]",
                                "{\"log\":[\n" + before + ",\n" + record + ",\n" + after + "\n]}"};
  if (record.find('\n') == std::string::npos)
    logs.push_back(before + "\n" + record + "\n" + after + "\n");
  return logs;
}

void check_value(const std::string& record, float coolant) {
  for (const std::string& text : logs_around(record)) {
    const Recording log = read(text);
    CHECK_MESSAGE(log.how.set_aside.empty(), text);
    REQUIRE_MESSAGE(log.size() == 3, text);
    CHECK_MESSAGE(log.column(Role::coolant)[1] == coolant, text);
    CHECK_MESSAGE((log.time_s == std::vector<double>{0, 1, 2}), text);
  }
}

void check_number(const std::string& number, float value) {
  check_value(R"({"time_s":1,"coolant_c":)" + number + "}", value);
}

void check_string(const std::string& string, const std::string& text) {
  for (const std::string& log_text :
       logs_around(R"({"time_s":1,"coolant_c":81,"trip":)" + string + "}")) {
    const Recording log = read(log_text);
    REQUIRE_MESSAGE(log.text_changes.size() == 3, log_text);
    CHECK(log.text_changes[1].text == text);
  }
}

void check_refused(const std::string& record, const std::string& reason = "not valid JSON") {
  for (const std::string& text : logs_around(record)) {
    const Recording log = read(text);
    REQUIRE_MESSAGE(log.how.set_aside.size() == 1, text);
    CHECK_MESSAGE(log.how.set_aside[0].reason == reason, text);
    CHECK_MESSAGE(log.how.set_aside[0].count == 1, text);
    CHECK_MESSAGE(log.how.set_aside[0].first_row == 2, text);
    CHECK_MESSAGE(log.how.rows == 3, text);
    CHECK_MESSAGE((log.time_s == std::vector<double>{0, 2}), text);
  }
}

void refuse_value(const std::string& value) {
  check_refused(R"({"time_s":1,"coolant_c":81,"x":)" + value + "}");
}

std::string nested(std::size_t depth) {
  return R"({"time_s":1,"coolant_c":81,"x":)" + std::string(depth, '[') + std::string(depth, ']') +
         "}";
}

} // namespace

TEST_CASE("RFC 8259 section 2: blanks and structural characters") {
  check_value("{ \"time_s\" : 1 ,\t\"coolant_c\"\t:81 }", 81.0F);
  check_value("{\r\n\"time_s\"\r\n:\n1\n,\n\"coolant_c\":\n\t81\n}", 81.0F);
  check_refused("{\"time_s\":1,\v\"coolant_c\":81}");
  check_refused("{\"time_s\":1,\"coolant_c\":\f81}");
  check_refused("{\"time_s\":1,\xC2\xA0\"coolant_c\":81}");
  check_refused("{\"time_s\":1;\"coolant_c\":81}");
  check_refused("{\"time_s\":1,\"coolant_c\"=81}");
  check_refused("{\"time_s\":1,\"coolant_c\":81)");
}

TEST_CASE("RFC 8259 section 3: values") {
  check_value(R"({"time_s":1,"coolant_c":81,"a":true,"b":false,"c":null})", 81.0F);
  for (const char* word :
       {"True", "FALSE", "Null", "nul", "truex", "tru e", "undefined", "yes", "'a'", "a", ""}) {
    refuse_value(word);
  }
}

TEST_CASE("RFC 8259 section 4: objects") {
  check_value(R"({"time_s":1,"coolant_c":81,"":1,"a":{},"b":{"c":{"d":1}}})", 81.0F);
  check_value(R"({"time_s":1,"coolant_c":70,"coolant_c":81})", 81.0F);
  check_refused(R"({"time_s":1,"coolant_c":81,})");
  check_refused(R"({,"time_s":1,"coolant_c":81})");
  check_refused(R"({"time_s":1,,"coolant_c":81})");
  check_refused(R"({"time_s":1 "coolant_c":81})");
  check_refused(R"({"time_s":1,"coolant_c"})");
  check_refused(R"({"time_s":1,"coolant_c":})");
  check_refused(R"({"time_s":1,"coolant_c"::81})");
  check_refused(R"({"time_s":1,"coolant_c" 81})");
  check_refused(R"({"time_s":1,coolant_c:81})");
  check_refused(R"({"time_s":1,'coolant_c':81})");
  check_refused(R"({"time_s":1,1:81})");
  check_refused(R"({"time_s":1,null:81})");
  check_refused(R"({"time_s":1,"coolant_c":81 /* no comment */})");
}

TEST_CASE("RFC 8259 section 5: arrays") {
  check_value(R"({"time_s":1,"coolant_c":81,"a":[],"b":[1,"x",[2,{"c":[]}],null]})", 81.0F);
  for (const char* array : {"[1,]", "[,1]", "[1,,2]", "[1 2]", "[1:2]", "[\"a\":1]", "[1}"}) {
    refuse_value(array);
  }
}

TEST_CASE("RFC 8259 section 6: numbers") {
  check_number("0", 0.0F);
  check_number("-0", 0.0F);
  check_number("-0.0", 0.0F);
  check_number("81", 81.0F);
  check_number("-40", -40.0F);
  check_number("81.5", 81.5F);
  check_number("0.5", 0.5F);
  check_number("8.1e1", 81.0F);
  check_number("8.1E1", 81.0F);
  check_number("8.1e+1", 81.0F);
  check_number("810e-1", 81.0F);
  check_number("0e1", 0.0F);
  check_number("0E+00", 0.0F);
  check_number("81.000000000000000000000000000000000001", 81.0F);
  check_number("0.0000000000000000000000000081e28", 81.0F);
  for (const char* number :
       {"+81", "081", "-081", "00", "-", "--1", "81.", ".5", "-.5", "81.e1", "81e", "81e+", "8.1.2",
        "0x51", "81f", "1_000", "8 1", "1e1.5", "\xEF\xBC\x91"}) {
    refuse_value(number);
  }
}

TEST_CASE("RFC 8259 section 6: a number beyond the range is no value, but costs no other one") {
  const Recording log = read("{\"time_s\":0,\"coolant_c\":80,\"rpm\":1e400}\n"
                             "{\"time_s\":1,\"coolant_c\":81,\"rpm\":-1E999}\n"
                             "{\"time_s\":2,\"coolant_c\":82,\"rpm\":1e-400}\n"
                             "{\"time_s\":3,\"coolant_c\":83,\"rpm\":900}\n");
  CHECK(log.time_s == std::vector<double>{0, 1, 2, 3});
  CHECK(log.column(Role::rpm)[3] == 900.0F);
  CHECK(listed(log.how.missing_cells).find("x3 @1:1") != std::string::npos);
}

TEST_CASE("RFC 8259 section 6: NaN and Infinity are no numbers: missing, with a note") {
  for (const char* word : {"NaN", "Infinity", "-Infinity", "nan", "-inf"}) {
    for (const std::string& text :
         logs_around(R"({"time_s":1,"coolant_c":)" + std::string(word) + R"(,"s":"NaN"})")) {
      const Recording log = read(text);
      REQUIRE_MESSAGE(log.size() == 3, text);
      CHECK(std::isnan(log.column(Role::coolant)[1]));
      CHECK(has_note(log, "1 value is written NaN or Infinity, which JSON does not have"));
    }
  }
}

TEST_CASE("RFC 8259 section 7: strings") {
  check_string(R"("abc")", "abc");
  check_string(R"("a\"b\\c\/d")", "a\"b\\c/d");
  check_string(R"("a\b\f\n\r\tb")", "a\b\f\n\r\tb");
  check_string(R"("\u0041\u00e9\u20AC")", "A\xC3\xA9\xE2\x82\xAC");
  check_string(R"("\uD834\uDD1E")", "\xF0\x9D\x84\x9E"); // the example of that section
  check_string("\"\xF0\x9D\x84\x9E\"", "\xF0\x9D\x84\x9E");
  check_string("\"a\x7F"
               "b\"",
               "a\x7F"
               "b");
  check_string(R"("},{")", "},{");
  check_string(R"("[\"{")", "[\"{");
  for (const char* string :
       {R"("\x41")", R"("\u12")", R"("\u12G4")", R"("\U0041")", R"("\a")", R"("\'")", "\"a\tb\"",
        "\"a\x01"
        "b\"",
        "'abc'"}) {
    refuse_value(string);
  }
}

TEST_CASE("RFC 8259 section 7: a string that does not end costs its record only") {
  check_refused(R"({"time_s":1,"coolant_c":81,"trip":"abc})");
  check_refused(R"({"time_s":1,"coolant_c":81,"trip":abc"})");
}

TEST_CASE("RFC 8259 section 8.1: bytes that are no UTF-8 are refused, a byte order mark is not") {
  for (const char* string : {"\"\x80\"", "\"\xC0\xAF\"", "\"\xED\xA0\x80\"", "\"\xF5\x80\x80\x80\"",
                             "\"\xE2\x82\"", "\"\xFF\""}) {
    refuse_value(string);
  }
  CHECK(read("\xEF\xBB\xBF" + std::string(k_before) + "\n" + std::string(k_after)).size() == 2);
}

TEST_CASE("RFC 8259 section 8.2: half of a surrogate pair stands for no character: refused") {
  for (const char* string :
       {R"("\uD834")", R"("\uDD1E")", R"("\uD834\u0041")", R"("\uDD1E\uD834")"})
    refuse_value(string);
}

TEST_CASE("RFC 8259 section 9: nesting is limited, and the limit costs the record only") {
  check_value(nested(31), 81.0F);
  check_refused(nested(32), "nested too deeply");
  check_refused(nested(100000), "nested too deeply");
  std::string objects;
  for (int i = 0; i < 20000; ++i) objects += "{\"a\":1,\"b\":";
  check_refused(R"({"time_s":1,"coolant_c":81,"x":)" + objects + "1" + std::string(20001, '}'),
                "nested too deeply");
  CHECK(refusal(std::string(100000, '[')).find("no record of it can be read") != std::string::npos);
  CHECK_FALSE(refusal(std::string(100000, '{')).empty());
}

TEST_CASE("RFC 8259 section 2: what is no object is no record") {
  for (const char* value : {"7", "\"a\"", "true", "null", "[1]"})
    check_refused(value, "not a JSON object");
}
