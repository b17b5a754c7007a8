// SPDX-License-Identifier: Apache-2.0
// A compact column gives back what was put in, whatever it was and wherever a chunk ends.
#include "coolband/import/recording.hpp"

#include "support/random.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

constexpr float k_nan = std::numeric_limits<float>::quiet_NaN();

bool same(float a, float b) { return a == b || (std::isnan(a) && std::isnan(b)); }

void check_equal(const Column& column, const std::vector<float>& expected) {
  REQUIRE(column.size() == expected.size());
  std::size_t differing = 0;
  for (std::size_t i = 0; i < expected.size(); ++i)
    differing += same(column[i], expected[i]) ? 0U : 1U;
  CHECK(differing == 0);
  std::vector<float> chunk;
  std::size_t row = 0;
  for (std::size_t c = 0; c * Column::k_chunk_rows < expected.size(); ++c) {
    column.read_chunk(c, chunk);
    for (const float value : chunk) differing += same(value, expected[row++]) ? 0U : 1U;
  }
  CHECK(row == expected.size());
  CHECK(differing == 0);
}

/// Values of one kind, a few of them missing.
float made_value(Random& random, std::size_t kind) {
  if (random.below(17) == 0) return k_nan;
  switch (kind) {
  case 0: return static_cast<float>(random.below(200));                 // one byte
  case 1: return static_cast<float>(random.below(9000)) / 4.0F;         // two bytes, decimals
  case 2: return static_cast<float>(random.between(-1e9, 1e9));         // four bytes
  case 3: return static_cast<float>(random.between(-1.0, 1.0)) * 1e-7F; // no decimal of few digits
  case 4: return k_nan;
  default: return 88.5F;
  }
}

} // namespace

TEST_CASE("a column gives back every float, in chunks of every kind") {
  Random random(7);
  for (std::size_t kinds = 0; kinds < 40; ++kinds) {
    std::vector<float> expected;
    Column column;
    const std::size_t rows = 1 + random.below(3 * Column::k_chunk_rows);
    std::size_t kind = random.below(6);
    for (std::size_t i = 0; i < rows; ++i) {
      if (random.below(1000) == 0) kind = random.below(6);
      expected.push_back(made_value(random, kind));
      column.push_back(expected.back());
    }
    check_equal(column, expected);
  }
}

TEST_CASE("digits are the decimal that they spell, also when their number of decimals changes") {
  Column column;
  std::vector<float> expected;
  for (std::int32_t i = 0; i < 10000; ++i) {
    const auto decimals = static_cast<std::uint8_t>(i / 700 % 4);
    column.push_decimal(i * 7 - 20000, decimals);
    expected.push_back(static_cast<float>((i * 7 - 20000) / std::pow(10.0, decimals)));
  }
  check_equal(column, expected);
}

TEST_CASE("numbers of every width are packed without loss") {
  Random random(23);
  for (unsigned bits = 1; bits <= 31; ++bits) {
    Column column;
    std::vector<float> expected;
    const auto most = static_cast<double>((std::uint64_t{1} << bits) - 1);
    for (std::size_t i = 0; i < Column::k_chunk_rows + 1; ++i) {
      const bool missing = random.below(11) == 0;
      const auto digits = static_cast<std::int32_t>(random.between(0.0, most)) -
                          static_cast<std::int32_t>(std::uint64_t{1} << (bits - 1));
      expected.push_back(missing ? k_nan : static_cast<float>(digits / 10.0));
      if (missing)
        column.push_missing();
      else
        column.push_decimal(digits, 1);
    }
    check_equal(column, expected);
  }
}

TEST_CASE("digits that outgrow 32 bits when decimals join them stay exact") {
  Column column;
  column.push_decimal(2000000000, 0);
  column.push_decimal(125, 3);
  column.push_missing();
  column.push_decimal(7, 1);
  REQUIRE(column.size() == 4);
  CHECK(column[0] == 2e9F);
  CHECK(column[1] == 0.125F);
  CHECK(std::isnan(column[2]));
  CHECK(column[3] == 0.7F);
}

TEST_CASE("many digits at once are the same as one after the other") {
  Random random(11);
  Column one_by_one;
  Column at_once;
  for (int part = 0; part < 60; ++part) {
    std::vector<std::int32_t> digits(1 + random.below(900));
    const auto decimals = static_cast<std::uint8_t>(random.below(3));
    for (std::int32_t& d : digits)
      d = random.below(9) == 0 ? Column::k_no_digits
                               : static_cast<std::int32_t>(random.below(5000));
    at_once.push_decimals(digits.data(), digits.size(), decimals);
    for (const std::int32_t d : digits) {
      if (d == Column::k_no_digits)
        one_by_one.push_missing();
      else
        one_by_one.push_decimal(d, decimals);
    }
  }
  check_equal(at_once, std::vector<float>(one_by_one.begin(), one_by_one.end()));
}

TEST_CASE("the last row can be taken back, also the first of a chunk") {
  for (const std::size_t rows : {std::size_t{1}, Column::k_chunk_rows, Column::k_chunk_rows + 1}) {
    Column column;
    TimeColumn times;
    for (std::size_t i = 0; i < rows; ++i) {
      column.push_back(static_cast<float>(i));
      times.push_back(static_cast<double>(i));
    }
    column.pop_back();
    times.pop_back();
    CHECK(column.size() == rows - 1);
    CHECK(times.size() == rows - 1);
    column.push_back(0.25F);
    times.push_back(0.25);
    CHECK(column.back() == 0.25F);
    CHECK(times.back() == 0.25);
  }
}

TEST_CASE("a unit that is settled late is a straight line over the column") {
  Column column{176.0F, k_nan, 212.0F, 0.1F};
  column.rescale(1.0 / 1.8, -32.0 / 1.8);
  CHECK(column[0] == doctest::Approx(80.0));
  CHECK(std::isnan(column[1]));
  CHECK(column[2] == doctest::Approx(100.0));
  CHECK(column[3] == doctest::Approx(-17.7222).epsilon(1e-5));
}

TEST_CASE("times come back bit for bit from clocks of every kind") {
  Random random(3);
  for (int kind = 0; kind < 5; ++kind) {
    std::vector<double> expected;
    TimeColumn times;
    double time_s = 0.0;
    for (std::size_t i = 0; i < 3 * TimeColumn::k_chunk_rows + 5; ++i) {
      expected.push_back(time_s);
      times.push_back(time_s);
      const auto count = static_cast<double>(i + 1);
      if (kind == 0) time_s = count;        // even
      if (kind == 1) time_s = count / 10.0; // even in tenths
      if (kind == 2) time_s = std::round(time_s * 1e6 + random.between(1.0, 3e6)) / 1e6;
      if (kind == 3) time_s += random.between(0.0, 0.3);          // no decimal at all
      if (kind == 4) time_s = i % 5000 == 0 ? 0.0 : time_s + 1e5; // steps back, long steps
    }
    CHECK(times == expected);
    std::vector<double> read;
    std::vector<double> chunk;
    for (std::size_t c = 0; c * TimeColumn::k_chunk_rows < expected.size(); ++c) {
      times.read_chunk(c, chunk);
      read.insert(read.end(), chunk.begin(), chunk.end());
    }
    CHECK(read == expected);
  }
}
