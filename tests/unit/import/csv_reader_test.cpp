// SPDX-License-Identifier: Apache-2.0
// Records, quotes and line ends, whatever the size of the blocks they come in.
#include "import/csv_reader.hpp"

#include "support/drip_source.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

using namespace coolband;

namespace {

/// One line a record: "LINE:cell|cell" and the fault, if any.
std::vector<std::string> records(std::string_view text, char delimiter = ',',
                                 std::size_t step = 1 << 20) {
  coolband::testing::DripSource source(text, step);
  InputBuffer input(source);
  CsvReader reader(input, delimiter, "log");
  std::vector<std::string> lines;
  Row row;
  while (reader.next(row)) {
    std::string line = std::to_string(row.line) + ":";
    for (std::size_t i = 0; i < row.cells.size(); ++i)
      line += (i > 0 ? "|" : "") + std::string(row.cells[i]);
    if (!row.fault.empty()) line += " !" + std::string(row.fault);
    lines.push_back(line);
  }
  REQUIRE_FALSE(reader.error());
  return lines;
}

using Lines = std::vector<std::string>;

} // namespace

TEST_CASE("every line end closes a record and blank lines are passed over") {
  CHECK(records("a,b\n1,2\n") == Lines{"1:a|b", "2:1|2"});
  CHECK(records("a,b\r\n1,2\r\n") == Lines{"1:a|b", "2:1|2"});
  CHECK(records("a,b\r1,2\r") == Lines{"1:a|b", "2:1|2"});
  CHECK(records("a,b\n\n  \n1,2") == Lines{"1:a|b", "4:1|2"});
  CHECK(records("").empty());
  CHECK(records("\n\n").empty());
  CHECK(records(",\n") == Lines{"1:|"});
}

TEST_CASE("quotes hold delimiters, line ends and doubled quotes") {
  CHECK(records("\"a,b\",c\n1,2\n") == Lines{"1:a,b|c", "2:1|2"});
  CHECK(records("\"say \"\"hi\"\"\",c\n") == Lines{"1:say \"hi\"|c"});
  CHECK(records("\"a\nb\",c\n1,2\n") == Lines{"1:a\nb|c", "3:1|2"});
  CHECK(records("\"\",\"\"\n") == Lines{"1:|"});
  CHECK(records("1, \"a,b\" ,2\n") == Lines{"1:1|a,b |2"});
  CHECK(records("5' 7\",x\n1,2\n") == Lines{"1:5' 7\"|x", "2:1|2"});
}

TEST_CASE("a quote that is never closed costs its own line only") {
  CHECK(records("a,b\n1,\"2\n3,4\n") == Lines{"1:a|b", "2:1,\"2 !quote not closed", "3:3|4"});
}

TEST_CASE("comment lines are passed over but count as lines") {
  CHECK(records("# made by hand\na,b\n// x\n; y\n1,2\n") == Lines{"2:a|b", "5:1|2"});
  CHECK(records("a;b\n;2\n", ';') == Lines{"1:a|b", "2:|2"});
  CHECK(records("#\r\n#x\r\n1,2\r\n") == Lines{"3:1|2"});
  CHECK(records("# only") == Lines{});
}

TEST_CASE("records are the same for every block size") {
  const std::string text =
      "# c\r\ntime,\"cool\"\"ant\"\r\n\r\n1,\"9\r\n0\"\r\n2,91\n3,\"x\n4,92\r5,\"\"\r\n"
      "6,a long cell without any quote in it at all, which goes on past sixty-four bytes\r\n7,8";
  const Lines whole = records(text);
  CHECK(whole.size() == 8);
  for (std::size_t step = 1; step <= 64; ++step)
    CHECK_MESSAGE(records(text, ',', step) == whole, step);
}

TEST_CASE("a record above the limit is an error, not a memory hog") {
  const std::string text(3 << 20, 'x');
  MemorySource source(text);
  InputBuffer input(source);
  CsvReader reader(input, ',', "log");
  Row row;
  CHECK_FALSE(reader.next(row));
  REQUIRE(reader.error());
  CHECK(describe(*reader.error()) == "log:1: a record of this log is longer than 1 MiB\n"
                                     "  check that this is a log of text lines");
}

TEST_CASE("a quoted record longer than a block is read whole") {
  const std::string cell(700000, 'y');
  const auto lines = records("a,\"" + cell + "\"\n1,2\n");
  REQUIRE(lines.size() == 2);
  CHECK(lines[0].size() == cell.size() + 4);
  CHECK(lines[1] == "2:1|2");
}
