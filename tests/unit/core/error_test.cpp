// SPDX-License-Identifier: Apache-2.0
// The text of an error as a person sees it, and a Result's two sides.
#include "coolband/core/error.hpp"
#include "coolband/core/result.hpp"

#include <doctest/doctest.h>

#include <memory>
#include <string>
#include <utility>
#include <variant>

using namespace coolband;

TEST_CASE("an error names its place, quotes the line and points at the column") {
  const Error error{
      ErrorKind::input, {"drive.csv", 3, 6}, "not a number", "12.5;8x;40", "mend the cell"};
  CHECK(describe(error) == "drive.csv:3:6: not a number\n"
                           "  12.5;8x;40\n"
                           "       ^\n"
                           "  mend the cell");
}

TEST_CASE("what is not known of the place is left away") {
  CHECK(describe({ErrorKind::usage, {}, "no log given", "", ""}) == "no log given");
  CHECK(describe({ErrorKind::input, {"a.csv"}, "empty", "", ""}) == "a.csv: empty");
  CHECK(describe({ErrorKind::input, {"a.csv", 7}, "short", "", ""}) == "a.csv:7: short");
  CHECK(describe({ErrorKind::input, {"a.csv", 0, 4}, "odd", "x", ""}) == "a.csv: odd\n"
                                                                         "  x");
}

TEST_CASE("the caret counts characters, not bytes") {
  // "°C" takes three bytes and two columns; the caret stands under x.
  const Error error{ErrorKind::input,
                    {"f", 1, 5},
                    "m",
                    "\xC2\xB0"
                    "C;x",
                    ""};
  CHECK(describe(error) == "f:1:5: m\n"
                           "  \xC2\xB0"
                           "C;x\n"
                           "     ^");
}

TEST_CASE("the caret may stand just behind the line, and not beyond it") {
  CHECK(describe({ErrorKind::input, {"f", 1, 4}, "m", "abc", ""}) == "f:1:4: m\n  abc\n     ^");
  CHECK(describe({ErrorKind::input, {"f", 1, 6}, "m", "abc", ""}) == "f:1:6: m\n  abc");
}

TEST_CASE("a long line is cut to 72 columns around the caret") {
  std::string line(200, 'a');
  line[150] = 'X';
  const std::string text = describe({ErrorKind::input, {"f", 1, 151}, "m", line, ""});
  const auto quote = text.substr(text.find('\n') + 3);
  const auto shown = quote.substr(0, quote.find('\n'));
  CHECK(shown.size() == 72);
  const auto caret = quote.substr(quote.find('\n') + 3).find('^');
  REQUIRE(caret != std::string::npos);
  CHECK(shown[caret] == 'X');
}

TEST_CASE("control characters of an input do not reach the terminal") {
  const Error error{ErrorKind::input, {"a\x1b[31m.csv", 1, 1}, "bad\nname", "x\ty\x7f\r", "\x07"};
  const std::string text = describe(error);
  CHECK(text == "a?[31m.csv:1:1: bad?name\n"
                "  x y??\n"
                "  ^\n"
                "  ?");
}

TEST_CASE("controls above U+007F do not reach the terminal either, and letters beside them do") {
  CHECK(printable("a\xC2\x9B"
                  "31mb") == "a??31mb");
  CHECK(printable("\xC2\x80\xC2\x9F\xC2\xA0\xC2\xB0") == "????\xC2\xA0\xC2\xB0");
  CHECK(printable("\xC3\x9C\xE2\x80\x9C") == "\xC3\x9C\xE2\x80\x9C");
}

TEST_CASE("a result holds a value or the reason why there is none") {
  const Result<int> good = 7;
  CHECK(good.ok());
  CHECK(*good == 7);
  CHECK_THROWS_AS((void)good.error(), std::bad_variant_access);

  const Result<int> bad = Error{ErrorKind::output, {}, "full", "", ""};
  CHECK_FALSE(bad);
  CHECK(bad.error().message == "full");
  CHECK_THROWS_AS((void)bad.value(), std::bad_variant_access);
}

TEST_CASE("a result can hold what can only be moved") {
  Result<std::unique_ptr<int>> result = std::make_unique<int>(3);
  REQUIRE(result);
  const std::unique_ptr<int> taken = std::move(*result);
  CHECK(*taken == 3);
}
