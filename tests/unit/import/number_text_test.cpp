// SPDX-License-Identifier: Apache-2.0
// Numbers, missing marks and decimal marks.
#include "import/number_text.hpp"

#include <doctest/doctest.h>

#include <charconv>
#include <cstdint>
#include <string>

using namespace coolband;

namespace {

/// As the readers hand cells on: with bytes behind that must not matter.
bool plain(const std::string& text, double& value) {
  const std::string padded = text + "12345678";
  return read_plain_decimal(std::string_view(padded).substr(0, text.size()), value);
}

NumberStyle style_of(std::initializer_list<const char*> cells, bool comma_is_delimiter) {
  NumberStyleGuess guess;
  for (const char* cell : cells) guess.see(cell);
  return guess.style(comma_is_delimiter);
}

} // namespace

TEST_CASE("the fast road gives the same bits as std::from_chars wherever it reads") {
  std::uint64_t state = 42;
  std::size_t read_count = 0;
  for (int i = 0; i < 200000; ++i) {
    state = state * 6364136223846793005U + 1442695040888963407U;
    const std::uint64_t digits = (state >> 11) % 1000000000000000U;
    std::string text = std::to_string(digits).substr(0, 1 + (state >> 5) % 15);
    const std::size_t point = (state >> 3) % (text.size() + 1);
    if (point > 0 && point < text.size()) text.insert(point, ".");
    if ((state & 4U) != 0) text.insert(0, "-");
    double fast = 0.0;
    double exact = 0.0;
    std::from_chars(text.data(), text.data() + text.size(), exact);
    if (!plain(text, fast)) continue;
    ++read_count;
    REQUIRE_MESSAGE(fast == exact, text);
  }
  CHECK(read_count == 200000);
}

TEST_CASE("the fast road leaves everything but plain decimals to the slow one") {
  double value = 0.0;
  for (const char* text : {"",    "-",   ".",   "-.",  "1.2.3", "1e5",  "+1",
                           " 1",  "1 ",  "12a", "a",   "1,5",   "0x10", "12345678901234567",
                           "1:2", "--1", "nan", "1/2", "./",    "9.:"}) {
    CHECK_MESSAGE(!plain(text, value), text);
  }
  CHECK((plain(".5", value) && value == 0.5));
  CHECK((plain("-0.25", value) && value == -0.25));
  CHECK((plain("12345678", value) && value == 12345678.0));
}

TEST_CASE("the slow road reads signs, exponents and blanks") {
  const NumberStyle style;
  CHECK(number_in(" +85.5 ", style) == 85.5);
  CHECK(number_in("8.55e1", style) == 85.5);
  CHECK(number_in("5.", style) == 5.0);
  CHECK(number_in("\xC2\xA0"
                  "90",
                  style) == 90.0);
  CHECK(number_in("-40", style) == -40.0);
  for (const char* text : {"", "nan", "inf", "1e999", "85,5", "0x10", "12 34", "+-5", "85 C"}) {
    CHECK_MESSAGE(!number_in(text, style), text);
  }
}

TEST_CASE("a decimal comma goes with points that group thousands") {
  const NumberStyle style = style_of({"85,5", "90,1"}, false);
  CHECK(style.comma);
  CHECK(number_in("85,5", style) == 85.5);
  CHECK(number_in("1.234,5", style) == 1234.5);
  CHECK(number_in("1.234", style) == 1234.0);
  CHECK(number_in("-1.234.567,25", style) == -1234567.25);
  CHECK_FALSE(number_in("85.5", style));
  CHECK_FALSE(number_in("1.23.456", style));
  CHECK_FALSE(number_in("1,2,3", style));
}

TEST_CASE("points that cannot be groups beside decimal commas both mark decimals") {
  const NumberStyle style = style_of({"85,5", "20.5"}, false);
  CHECK(number_in("85,5", style) == 85.5);
  CHECK(number_in("20.125", style) == 20.125);
  CHECK_FALSE(number_in("1.234,5", style));
}

TEST_CASE("a quoted comma in a comma log groups thousands, in another it marks decimals") {
  const NumberStyle english = style_of({"1,234", "90"}, true);
  CHECK_FALSE(english.comma);
  CHECK(number_in("1,234", english) == 1234.0);
  CHECK(number_in("1,234.5", english) == 1234.5);
  CHECK_FALSE(number_in("12,34", english));
  CHECK(number_in("1,234", style_of({"1,234"}, false)) == 1.234);
}

TEST_CASE("marks for missing values are known in any case") {
  for (const char* text :
       {"", "  ", "-", "--", "N/A", "na", "NULL", "NaN", "None", "?", "no data", "inf", "-Inf"}) {
    CHECK_MESSAGE(is_missing_mark(text), text);
  }
  for (const char* text : {"0", "85", "error", "x"}) CHECK_MESSAGE(!is_missing_mark(text), text);
}

TEST_CASE("a cell is the same number by the quick way as by reading its characters") {
  const NumberStyle points{false, true, true, false};
  const NumberStyle commas{true, true, false, false};
  std::uint64_t state = 7;
  for (int i = 0; i < 50000; ++i) {
    state = state * 6364136223846793005U + 1442695040888963407U;
    std::string text = std::to_string((state >> 1) % 10'000'000'000'000'000U);
    text = text.substr(0, 1 + (state >> 5) % 16);
    const std::size_t point = (state >> 3) % (text.size() + 1);
    if (point > 0 && point < text.size()) text.insert(point, ".");
    double exact = 0.0;
    std::from_chars(text.data(), text.data() + text.size(), exact);
    REQUIRE_MESSAGE(number_in(text, points) == exact, text);
    REQUIRE_MESSAGE(number_in(text, commas) == exact, text);
  }
}

TEST_CASE("what is no plain cell is told as before") {
  const NumberStyle points{false, true, true, false};
  const NumberStyle groups{true, false, false, true};
  for (const char* text : {"", ".", "1.2.3", "12a", "a", "1 2", "--1", "1e", "0x10"})
    CHECK_MESSAGE(!number_in(text, points), text);
  CHECK(number_in("1.", points) == 1.0);
  CHECK(number_in(".5", points) == 0.5);
  CHECK(number_in(" 12.5 ", points) == 12.5);
  CHECK(number_in("+3", points) == 3.0);
  CHECK(number_in("1e3", points) == 1000.0);
  CHECK(number_in("1.234", groups) == 1234.0);
}

TEST_CASE("a comma says more than any number of points before it") {
  CHECK_FALSE(style_of({"85.5", "86.25", "1"}, true).comma);
  const NumberStyle both = style_of({"85.5", "86.5", "85,5"}, false);
  CHECK((both.comma && both.point));
  const NumberStyle groups = style_of({"1.234", "1.234,5"}, false);
  CHECK((groups.comma && groups.point_groups));
}
