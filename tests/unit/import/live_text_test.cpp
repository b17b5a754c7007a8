// SPDX-License-Identifier: Apache-2.0
// Bytes in any pieces become whole lines; the head stays, rows go from the front.
#include "import/live_text.hpp"

#include <doctest/doctest.h>

#include <string>
#include <string_view>

using namespace coolband;

namespace {

LiveText taken(std::string_view bytes) {
  LiveText text;
  text.append(bytes);
  while (text.take_line()) {
  }
  return text;
}

} // namespace

TEST_CASE("lines come out whole, whatever the pieces") {
  const std::string whole = "time,coolant\r\n0,80\n\n1,81\n";
  for (std::size_t size = 1; size <= whole.size(); ++size) {
    LiveText text;
    std::size_t lines = 0;
    for (std::size_t at = 0; at < whole.size(); at += size) {
      text.append(std::string_view(whole).substr(at, size));
      while (text.take_line()) {
        ++lines;
        CHECK(text.text().back() == '\n');
      }
    }
    CHECK(text.text() == whole);
    CHECK(lines == 4);
    CHECK(text.lines() == 4);
  }
}

TEST_CASE("the start of a line waits, is ended as at the end of a file, or is let go") {
  LiveText text = taken("0,80\n1,8");
  CHECK(text.text() == "0,80\n");
  CHECK(text.unfinished() == 3);
  text.end_line();
  CHECK(text.take_line());
  CHECK(text.text() == "0,80\n1,8\n");
  CHECK_FALSE(text.tear_line());
  text.append("2,");
  CHECK(text.tear_line());
  text.append("3,83\n");
  CHECK(text.take_line());
  CHECK(text.text() == "0,80\n1,8\n3,83\n");
  text.end_line(); // nothing to end: no blank line
  CHECK_FALSE(text.take_line());
}

TEST_CASE("rows go from the front, the head stays") {
  LiveText text = taken("# head\ntime\n0\n1\n2\n3\n");
  text.set_head(2);
  text.drop_before(5);
  CHECK(text.text() == "# head\ntime\n2\n3\n");
  CHECK(text.lines() == 4);
  text.drop_before(3); // the first row: nothing before it
  text.drop_before(1); // of the head nothing goes
  CHECK(text.text() == "# head\ntime\n2\n3\n");
  text.drop_before(99);
  CHECK(text.text() == "# head\ntime\n");
  CHECK(text.lines() == 2);
}

TEST_CASE("another log may begin in the middle") {
  LiveText text = taken("time\n0\n1\nother\n2\n");
  text.set_head(1);
  text.restart_at(4);
  CHECK(text.text() == "other\n2\n");
  CHECK(text.lines() == 2);
  CHECK(text.head_lines() == 0);
}

TEST_CASE("the tail has the head and the last rows") {
  LiveText text = taken("time\n0\n1\n2\n");
  CHECK(text.tail(2) == "1\n2\n");
  text.set_head(1);
  CHECK(text.tail(0) == "time\n");
  CHECK(text.tail(2) == "time\n1\n2\n");
  CHECK(text.tail(3) == text.text());
  CHECK(text.tail(9) == text.text());
  CHECK(LiveText().tail(3).empty());
}
