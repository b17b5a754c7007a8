// SPDX-License-Identifier: Apache-2.0
// The layouts of JSON logs beyond plain records: wrappers, rows in arrays, units beside values.
#include "unit/import/import_helpers.hpp"

#include <functional>

using namespace coolband;
using namespace coolband::test;

namespace {

void check_values(const Recording& log, const std::string& format) {
  CHECK(log.how.format == format);
  CHECK(log.time_s == std::vector<double>{0.0, 1.0, 2.0});
  CHECK(log.column(Role::coolant) == std::vector<float>{90.0F, 91.0F, 92.5F});
  CHECK(log.how.set_aside.empty());
}

const std::string k_objects = R"([{"time_s":0,"coolant_c":90},{"time_s":1,"coolant_c":91},)"
                              R"({"time_s":2,"coolant_c":92.5}])";
const std::string k_rows = "[[0,90],[1,91],[2,92.5]]";

std::string repeated(std::size_t count, const std::function<std::string(std::size_t)>& text) {
  std::string all;
  for (std::size_t i = 0; i < count; ++i) all += (i > 0 ? "," : "") + text(i);
  return all;
}

} // namespace

TEST_CASE("records inside one or two objects are read, and what stands beside them is named") {
  const Recording one =
      read("{\"meta\":{\"car\":\"A\",\"list\":[1,2]},\"rows\":" + k_objects + ",\"count\":3}");
  check_values(one, "json array");
  CHECK(has_note(one, "the records are those of \"rows\"; beside them is not used: \"meta.car\", "
                      "\"meta.list\", \"count\""));
  const Recording two = read("{\n \"log\": {\n  \"data\": [\n" + k_objects.substr(1) + "\n }\n}\n");
  check_values(two, "json array");
  CHECK(has_note(two, "the records are those of \"log.data\""));
  CHECK(two.row_map.at(0).line == 4);
}

TEST_CASE("the first array whose records have a time is the log") {
  const std::string text = R"({"sensors":[{"id":1,"kind":"coolant"}],"data":)" + k_objects +
                           R"(,"later":[{"time_s":7,"coolant_c":1}]})";
  const Recording log = read(text);
  check_values(log, "json array");
  CHECK(has_note(log, "\"sensors\", \"later\""));
}

TEST_CASE("a wrapped log longer than the first look is read to its end") {
  const std::string rows = repeated(50000, [](std::size_t i) {
    return "{\"time_s\":" + std::to_string(i) + ",\"coolant_c\":90}";
  });
  const Recording log = read("{\"about\":\"" + std::string(200000, 'x') + "\",\"rows\":[" + rows +
                             "],\"more\":[1,2,3]}");
  CHECK(log.size() == 50000);
  CHECK(has_note(log, "what stands behind the array of records is not used"));
}

TEST_CASE("rows in arrays take their headings from the first row") {
  check_values(read("[[\"time_s\",\"coolant_c\"]," + k_rows.substr(1)), "json rows");
  check_values(read("[\"time_s\",\"coolant_c\"]\n[0,90]\n[1,91]\n\n[2,92.5]"), "json rows");
  check_values(read("[\n  [\"time_s\", \"coolant_c\"],\n  [0, 90],\n  [1, 91],\n  [2, 92.5]\n]\n"),
               "json rows");
  const Recording log =
      read(R"([["time","coolant"],["ms","degF"],[0,194],[1000,195.8],[2000,198.5]])");
  CHECK(log.time_s == std::vector<double>{0.0, 1.0, 2.0});
  CHECK(log.column(Role::coolant)[2] == doctest::Approx(92.5));
  CHECK(reading_of(log, Role::coolant)->unit_origin == "units row");
  CHECK(log.how.header_line == 1);
  CHECK(log.how.rows == 3);
}

TEST_CASE("rows in arrays take their headings from an array of as many names beside them") {
  check_values(
      read("{\"columns\":[\"time_s\",\"coolant_c\"],\"index\":[0,1,2],\"data\":" + k_rows + "}"),
      "json rows");
  check_values(read("{\"values\":" + k_rows + ",\"headers\":[\"time_s\",\"coolant_c\"]}"),
               "json rows");
  const Recording log =
      read(R"({"fields":[{"name":"time","unit":"s"},{"name":"coolant","unit":"degC"}],"data":)" +
           k_rows + "}");
  check_values(log, "json rows");
  CHECK(reading_of(log, Role::coolant)->unit_origin == "units row");
}

TEST_CASE("headings far behind their rows are found") {
  const std::string rows =
      repeated(20000, [](std::size_t i) { return "[" + std::to_string(i) + ",90]"; });
  CHECK(read("{\"data\":[" + rows + "],\"columns\":[\"time_s\",\"coolant_c\"]}").size() == 20000);
}

TEST_CASE("rows without headings are read with columns given by number") {
  const ImportOptions options = choosing({"time=1:s", "coolant=2:degC"});
  check_values(read(k_rows, options), "json rows");
  check_values(read("{\"data\":" + k_rows + "}", options), "json rows");
  check_values(read("[0,90]\n[1,91]\n[2,92.5]\n", options), "json rows");
  CHECK(refusal("[1,2]") == refusal("[[1,2]]"));
  CHECK(refusal("[1,2]").find("log:1: the log has no row of headings") == 0);
}

TEST_CASE("rows of another width or kind are set aside") {
  const Recording log =
      read("[[\"time_s\",\"coolant_c\",\"note\"],[0,90,\"a\"],[1,91],[2,92,[1,2]],"
           "[3,93,null,null],[4,94,\"b\",7],{\"time_s\":5},6,[7,97,{\"a\":[1]}],"
           "[8,98,\"\"],[9,99,1]]");
  CHECK(log.time_s == std::vector<double>{0, 2, 3, 7, 8, 9});
  CHECK(listed(log.how.set_aside) ==
        "too few fields x1 @2:1; too many fields x1 @5:1; not a JSON array x2 @6:1");
}

TEST_CASE("an object of arrays may stand inside another") {
  const Recording log = read(R"({"id":"A","data":{"time_s":[0,1,2],"coolant_c":[90,91,92.5]}})");
  check_values(log, "json columns");
  CHECK(has_note(log, "\"id\" is no array and is not used"));
}

TEST_CASE("a unit beside each value is the unit of the column") {
  std::string text;
  for (int i = 0; i < 400; ++i) {
    text += "{\"time\":{\"v\":" + std::to_string(i * 1000) +
            ",\"uom\":\"ms\"},\"engine\":{\"coolant\":{\"value\":194,\"unit\":\"degF\"}}}\n";
  }
  text += "{\"time\":{\"v\":400000,\"uom\":\"ms\"},\"engine\":{\"coolant\":{\"value\":90,"
          "\"unit\":\"degC\"}}}\n";
  const Recording log = read(text);
  CHECK(heading_of(log, Role::coolant) == "engine.coolant");
  CHECK(reading_of(log, Role::coolant)->unit == "°F");
  CHECK(log.time_s[1] == 1.0);
  CHECK(log.column(Role::coolant)[0] == doctest::Approx(90.0));
  CHECK(log.how.ignored.empty());
  CHECK(listed(log.how.set_aside) == "another unit than in the first records x1 @401:401");
}

TEST_CASE("a unit that changes among the first records is said to be unused") {
  const Recording log = read("{\"time_s\":0,\"coolant\":{\"value\":90,\"unit\":\"degC\"}}\n"
                             "{\"time_s\":1,\"coolant\":{\"value\":91,\"unit\":\"K\"}}\n",
                             choosing({"coolant=coolant.value"}));
  CHECK(has_note(log, "\"coolant.unit\" is not always the same: it is not used"));
}

TEST_CASE("records behind record separators are read") {
  const Recording log = read("\x1E{\"time_s\":0,\"coolant_c\":90}\n\x1E{\n\"time_s\":1,"
                             "\"coolant_c\":91}\n\x1E{\"time_s\":5,\"coo\n\x1E{\"time_s\":2,"
                             "\"coolant_c\":92.5}\n");
  CHECK(log.time_s == std::vector<double>{0.0, 1.0, 2.0});
  CHECK(listed(log.how.set_aside) == "not valid JSON x1 @3:4");
}

TEST_CASE("commas, arrays and texts around the records are told") {
  const Recording batches = read(R"([{"time_s":0,"coolant_c":90}]
[{"time_s":1,"coolant_c":91},{"time_s":2,"coolant_c":92.5}])");
  check_values(batches, "json array");
  CHECK(has_note(batches, "2 arrays of records stand one behind the other: read as one log"));
  const Recording commas = read(R"([{"time_s":0,"coolant_c":90},,{"time_s":1,"coolant_c":91}
{"time_s":2,"coolant_c":92.5},])");
  check_values(commas, "json array");
  CHECK(has_note(commas, "between records, 3 commas are missing or too many: passed over"));
  const Recording tail = read(k_objects + "\n{\"time_s\":3,\"coolant_c\":90}");
  check_values(tail, "json array");
  CHECK(has_note(tail, "what stands behind the array of records is not used"));
  const Recording open = read(k_objects.substr(0, k_objects.size() - 1));
  check_values(open, "json array");
  CHECK(has_note(open, "the array of records is not closed: the log may be cut short"));
  const Recording fine = read("\n" + k_objects + "\n\n");
  CHECK_FALSE(has_note(fine, "comma"));
  CHECK_FALSE(has_note(fine, "array"));
}

TEST_CASE("JSON without records is refused as such") {
  CHECK(refusal("[\n1,\n2\n]").find("log:1: this JSON is a list of single values") == 0);
  CHECK(refusal("{\"data\":[]}").starts_with("log: the log has no records\n"));
  CHECK(refusal("[[\"time_s\",\"coolant_c\"]]")
            .starts_with("log:1: the log has headings but no rows\n"));
  CHECK(refusal("[[]]").find("log:1: this looks like JSON, but no record of it can be read") == 0);
  CHECK(read("[Coolant],[Time]\n90,0\n").how.format == "csv");
}
