// SPDX-License-Identifier: Apache-2.0
// JSON logs in their three shapes, and what is done with damaged records.
#include "unit/import/import_helpers.hpp"

using namespace coolband;
using namespace coolband::test;

namespace {

void check_two_rows(const Recording& log, const std::string& format) {
  CHECK(log.how.format == format);
  CHECK(log.how.delimiter.empty());
  CHECK(log.how.header_line == 0);
  CHECK(log.time_s == std::vector<double>{0.0, 1.5});
  CHECK(log.column(Role::coolant) == std::vector<float>{90.0F, 91.25F});
  REQUIRE(log.has(Role::load));
  CHECK(std::isnan(log.column(Role::load)[0]));
  CHECK(log.column(Role::load)[1] == 12.0F);
}

} // namespace

TEST_CASE("keys as long as one likes stand between the values") {
  for (const std::size_t length : {40U, 63U, 64U, 65U, 200U, 5000U}) {
    const std::string key(length, 'k');
    std::string text;
    for (int i = 0; i < 40; ++i)
      text += "{\"time_s\":" + std::to_string(i) + ",\"" + key +
              "\":7,\"coolant_c\":" + std::to_string(50 + i) + "}\n";
    const Recording log = read(text);
    REQUIRE(log.size() == 40);
    CHECK(log.time_s[39] == 39.0);
    CHECK(log.column(Role::coolant)[39] == 89.0F);
  }
}

TEST_CASE("an array of objects, one object a line and an object of arrays give the same columns") {
  check_two_rows(
      read(
          R"([{"time_s":0,"coolant_c":90,"load_pct":null},{"time_s":1.5,"coolant_c":91.25,"load_pct":12}])"),
      "json array");
  check_two_rows(read("[\n  {\n  \"time_s\": 0,\n  \"coolant_c\": 90},\n  {\"time_s\": 1.5, "
                      "\"coolant_c\": 91.25, \"load_pct\": 12}\n]\n"),
                 "json array");
  check_two_rows(read("{\"time_s\":0,\"coolant_c\":90}\n\n{\"load_pct\":12,\"coolant_c\":91.25,"
                      "\"time_s\":1.5}\r\n"),
                 "json lines");
  check_two_rows(read(R"({"time_s":[0,1.5],"coolant_c":[90,91.25],"load_pct":[null,12]})"),
                 "json columns");
}

TEST_CASE("objects laid out over several lines without an array around them are read") {
  const Recording log = read(
      "{\n  \"time_s\": 0,\n  \"coolant_c\": 90\n}\n{\n  \"time_s\": 1,\n  \"coolant_c\": 91\n}\n");
  CHECK(log.time_s == std::vector<double>{0.0, 1.0});
  CHECK(log.row_map.at(1).line == 5);
}

TEST_CASE("strings, escapes, nested objects and booleans are read") {
  const Recording log = read("{\"time\":\"2024-03-04T05:06:07Z\",\"engine\":{\"coolant\":\"90\"},"
                             "\"fan\":true,\"tr\\u0069p\":\"\\u00fc\"}\n"
                             "{\"time\":\"2024-03-04T05:06:08Z\",\"engine\":{\"coolant\":9.1e1},"
                             "\"fan\":false,\"list\":[1,{\"a\":2}]}\n");
  CHECK(heading_of(log, Role::coolant) == "engine.coolant");
  CHECK(log.column(Role::coolant) == std::vector<float>{90.0F, 91.0F});
  CHECK(log.column(Role::fan) == std::vector<float>{1.0F, 0.0F});
  REQUIRE(log.text_changes.size() == 1);
  CHECK(log.text_changes[0].text == "\xC3\xBC");
}

TEST_CASE("damaged records are set aside with their lines and the rest is read") {
  const Recording lines =
      read("{\"time_s\":0,\"coolant_c\":90}\n{\"time_s\":1,\"coo\nhello\n{\"time_s\":2,\"coolant_"
           "c\":92}\n"
           "{\"time_s\":3,\"coolant_c\":93}\n{\"time_s\":4,\"coolant_c\":94}\n");
  CHECK(listed(lines.how.set_aside) == "not valid JSON x1 @2:2; not a JSON object x1 @3:3");
  CHECK(lines.time_s == std::vector<double>{0, 2, 3, 4});
  const Recording array =
      read("[{\"time_s\":0,\"coolant_c\":90},\n{\"time_s\":1,\"cool\n},\n{\"time_s\":2,\"coolant_"
           "c\":92},\n7,\n"
           "{\"time_s\":3,\"coolant_c\":93},{\"time_s\":4,\"coolant_c\":94},{\"time_s\":5,");
  CHECK(array.time_s == std::vector<double>{0, 2, 3, 4});
  CHECK(array.how.rows == 7);
  CHECK(listed(array.how.set_aside) ==
        "not valid JSON x1 @2:2; not a JSON object x1 @4:5; record cut short x1 @7:6");
}

TEST_CASE("a key that stands twice gives its last value and a note") {
  const Recording log =
      read("{\"time_s\":0,\"coolant_c\":80,\"coolant_c\":90}\n{\"time_s\":1,\"coolant_c\":91}\n");
  CHECK(log.column(Role::coolant)[0] == 90.0F);
  CHECK(has_note(log, "1 key stands twice in a record: the last value is used"));
}

TEST_CASE("a key that comes too late is named") {
  std::string text;
  for (int i = 0; i < 400; ++i) text += "{\"time_s\":" + std::to_string(i) + ",\"coolant_c\":90}\n";
  text += "{\"time_s\":400,\"coolant_c\":90,\"load_pct\":1}\n";
  CHECK(has_note(read(text), "\"load_pct\" appears only behind the first records and is not used"));
}

TEST_CASE("JSON that cannot be a table is refused with the reason") {
  CHECK(refusal(R"({"time_s":[0,1],"coolant_c":[90]})") ==
        "log: the columns are of unequal length: \"time_s\" has 2 values, \"coolant_c\" has 1\n  "
        "write every column with one value a row, and null where one is missing");
  CHECK(
      refusal("{\"time_s\":[0,1],\n\"coolant_c\":[90,}").find("log:2:17: this is not valid JSON") ==
      0);
  CHECK(refusal("[]").find("log: the log has no records") == 0);
  CHECK(refusal("{oops}\n{oops}\n")
            .find("log:1: this looks like JSON, but no record of it can be read") == 0);
}
