// SPDX-License-Identifier: Apache-2.0
// Where the headings stand, whatever is above them.
#include "import/csv_layout.hpp"

#include <doctest/doctest.h>

#include <cstddef>
#include <string>
#include <vector>

using namespace coolband;

namespace {

TableHead layout_of(const std::string& text) {
  const auto head = find_csv_layout(text, true, "a.csv", {});
  REQUIRE(head);
  return *head;
}

} // namespace

TEST_CASE("each heading is told with its byte, also below a title and a stated delimiter") {
  const std::string rows = "Time (s);Coolant (degC)\n0;20.5\n1;21.5\n2;22\n";
  for (const char* above : {"", "sep=;\n", "sep=;\nA;long;title;row\n", "title\nmore\n"}) {
    const TableHead head = layout_of(above + rows);
    CHECK(head.delimiter == ';');
    CHECK(head.headings == std::vector<std::string>{"Time (s)", "Coolant (degC)"});
    CHECK(head.byte_columns == std::vector<std::size_t>{1, 10});
    REQUIRE(head.sample.size() == 3);
    CHECK(head.sample[0] == std::vector<std::string>{"0", "20.5"});
  }
}

TEST_CASE("commented headings are told with their bytes") {
  const TableHead head = layout_of("# time_s,coolant_c\n0,20.5\n1,21.5\n");
  CHECK(head.headings == std::vector<std::string>{"time_s", "coolant_c"});
  CHECK(head.byte_columns == std::vector<std::size_t>{3, 10});
  CHECK(head.sample.size() == 2);
}

TEST_CASE("a mark that does not occur is no delimiter, one in few rows is none either") {
  CHECK(layout_of("time_s,coolant_c\n0,20\n1,21\n").delimiter == ',');
  CHECK(layout_of("time_s,coolant_c\n0,20\n1,2;1\n2,22\n3,23\n").delimiter == ',');
  CHECK_FALSE(find_csv_layout("nothing\nhere\n", true, "a.csv", {}));
}
