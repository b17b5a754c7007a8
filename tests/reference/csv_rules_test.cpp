// SPDX-License-Identifier: Apache-2.0
// RFC 4180 (Common Format and MIME Type for CSV Files), section 2, rule by rule; then what the
// RFC leaves open and logs do all the same. The RFC's wording is from memory.
#include "import/csv_reader.hpp"
#include "unit/import/import_helpers.hpp"

#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::test;

namespace {

using Records = std::vector<std::vector<std::string>>;

Records records_of(std::string_view text, char delimiter = ',') {
  MemorySource source(text);
  InputBuffer input(source);
  CsvReader reader(input, delimiter, "log");
  Records records;
  Row row;
  while (reader.next(row)) records.emplace_back(row.cells.begin(), row.cells.end());
  CHECK_FALSE(reader.error());
  return records;
}

} // namespace

TEST_CASE("RFC 4180 rule 1: each record on a line of its own, ended by CRLF") {
  CHECK(records_of("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n") ==
        Records{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}});
}

TEST_CASE("RFC 4180 rule 2: the last record may lack its line end") {
  CHECK(records_of("aaa,bbb,ccc\r\nzzz,yyy,xxx") ==
        Records{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}});
}

TEST_CASE("RFC 4180 rule 3: a heading line may stand first") {
  const Recording log = read("time_s,coolant_c\r\n0,80\r\n1,81\r\n");
  CHECK(log.how.header_line == 1);
  CHECK(log.column(Role::coolant) == std::vector<float>{80, 81});
}

TEST_CASE("RFC 4180 rule 4: blanks are part of a field, and fields are separated by commas") {
  CHECK(records_of("aaa, bbb ,ccc\r\n") == Records{{"aaa", " bbb ", "ccc"}});
  // As many fields in each line: a line with another number is set aside, not guessed at.
  CHECK(listed(read("time_s,coolant_c\n0,80\n1\n2,82\n3,83,9\n4,84\n").how.set_aside) ==
        "too few fields x1 @2:3; too many fields x1 @4:5");
}

TEST_CASE("RFC 4180 rule 5: fields may stand in quotes; a quote inside an unquoted one is text") {
  CHECK(records_of("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n") ==
        Records{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}});
  CHECK(records_of("5\" pipe,b\n") == Records{{"5\" pipe", "b"}});
}

TEST_CASE("RFC 4180 rule 6: line ends, quotes and commas inside quotes") {
  CHECK(records_of("\"aaa\",\"b\r\nbb\",\"c,cc\"\r\nzzz,yyy,xxx\r\n") ==
        Records{{"aaa", "b\r\nbb", "c,cc"}, {"zzz", "yyy", "xxx"}});
}

TEST_CASE("RFC 4180 rule 7: a quote inside quotes is doubled") {
  CHECK(records_of("\"aaa\",\"b\"\"bb\",\"ccc\"\r\n") == Records{{"aaa", "b\"bb", "ccc"}});
  CHECK(records_of("\"\"\"\",\"\"\n") == Records{{"\"", ""}});
}

TEST_CASE("beyond the RFC: line ends of all three kinds, other delimiters, blank lines") {
  for (const std::string_view text : {"a,b\nc,d\n", "a,b\rc,d\r", "a,b\r\nc,d\r\n", "\na,b\n\nc,d"})
    CHECK(records_of(text) == Records{{"a", "b"}, {"c", "d"}});
  CHECK(records_of("a;\"b;c\"\n", ';') == Records{{"a", "b;c"}});
  CHECK(records_of("a\t\"b\"\n", '\t') == Records{{"a", "b"}});
}

TEST_CASE("beyond the RFC: a quote that is never closed costs its own line") {
  const Recording log = read("time_s,coolant_c\n0,80\n1,\"81\n2,82\n3,83\n");
  CHECK(listed(log.how.set_aside) == "quote not closed x1 @2:3");
  CHECK(log.column(Role::coolant) == std::vector<float>{80, 82, 83});
}
