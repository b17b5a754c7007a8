// SPDX-License-Identifier: Apache-2.0
// A reading that is missing alone is told from one that is polled seldom and a logger that skips.
#include "segment/lone_gaps.hpp"

#include <doctest/doctest.h>

#include <string_view>

using namespace coolband;

namespace {

/// A row a second: 'b' both there, 'o' the other column alone, 'c' the coolant alone, '.' neither.
std::optional<MissingReading> gaps_in(std::string_view rows, std::size_t sound_rows = 100) {
  LoneGaps gaps;
  std::size_t row = 0;
  for (; row < sound_rows; ++row) gaps.add(row, static_cast<double>(row), true, true);
  for (const char what : rows) {
    gaps.add(row, static_cast<double>(row), what == 'b' || what == 'c', what == 'b' || what == 'o');
    ++row;
  }
  return gaps.found();
}

} // namespace

TEST_CASE("stretches of three rows and more without a reading are counted") {
  CHECK_FALSE(gaps_in("bbbbb"));
  CHECK_FALSE(gaps_in("boobob"));
  const auto one = gaps_in("booob");
  REQUIRE(one);
  CHECK(one->times == 1);
  CHECK(one->first_row == 101);
  CHECK(one->longest_s == doctest::Approx(2.0));
  const auto two = gaps_in("booobboooooobob");
  REQUIRE(two);
  CHECK(two->times == 2);
  CHECK(two->first_row == 101);
  CHECK(two->longest_s == doctest::Approx(5.0));
}

TEST_CASE("rows without anything are no gap of the reading, and part two of them") {
  CHECK_FALSE(gaps_in("b......b"));
  CHECK_FALSE(gaps_in("boo.oob"));
}

TEST_CASE("a reading that is asked for now and then is not missing in between") {
  CHECK(gaps_in("booob", 10));
  CHECK_FALSE(gaps_in("booobooob", 10)); // 6 of 19 rows
}

TEST_CASE("a logger that skips the other column as well is the one that skips") {
  CHECK_FALSE(gaps_in("booooooooobcccb")); // nine and three: a third
  CHECK(gaps_in("booooooooobccb"));
}
