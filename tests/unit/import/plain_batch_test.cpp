// SPDX-License-Identifier: Apache-2.0
// Whole batches of plain records say what each cell says by itself, and stop where one is not
// plain.
#include "import/plain_batch.hpp"

#include "import/number_text.hpp"
#include "support/random.hpp"

#include <doctest/doctest.h>

#include <charconv>
#include <memory>
#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

/// Time in column 0, and another column.
class Batches {
 public:
  explicit Batches(const std::string& records, char delimiter = ',', char mark = '.')
      : text_(records + std::string(64, '9')), rest_(text_.data(), records.size()),
        scan_(delimiter) {
    batch_->width = 2;
    batch_->mark = mark;
    batch_->cells.resize(1);
    batch_->cells[0].column = 1;
  }

  bool next() {
    rest_.remove_prefix(scan_.read(rest_, *batch_));
    return batch_->rows > 0;
  }
  const PlainBatch& operator*() const { return *batch_; }
  [[nodiscard]] std::size_t left() const { return rest_.size(); }

 private:
  std::string text_;
  std::string_view rest_;
  PlainScan scan_;
  std::unique_ptr<PlainBatch> batch_ = std::make_unique<PlainBatch>();
};

double value_of(std::int64_t digits, std::uint8_t decimals) {
  return PlainDecimal{digits, decimals}.value();
}

/// "123.45" with so many digits before and behind the mark.
std::string made_number(Random& random, std::size_t before, std::size_t behind, char mark) {
  std::string text;
  for (std::size_t i = 0; i < before; ++i) text += static_cast<char>('0' + random.below(10));
  if (behind > 0) text += mark;
  for (std::size_t i = 0; i < behind; ++i) text += static_cast<char>('0' + random.below(10));
  return text;
}

double by_the_library(std::string text) {
  for (char& c : text) c = c == ',' ? '.' : c;
  double value = 0.0;
  const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
  REQUIRE(code == std::errc());
  REQUIRE(end == text.data() + text.size());
  return value;
}

/// Reads a column of such cells, and compares each with the standard library.
void check_cells(const std::vector<std::string>& cells, char delimiter, char mark,
                 const std::string& line_end) {
  std::string records;
  for (std::size_t i = 0; i < cells.size(); ++i)
    records += std::to_string(i) + delimiter + cells[i] + line_end;
  Batches batches(records, delimiter, mark);
  std::size_t row = 0;
  while (batches.next()) {
    const PlainBatch& batch = *batches;
    for (std::size_t i = 0; i < batch.rows; ++i, ++row) {
      REQUIRE(value_of(batch.time_digits[i], batch.time_decimals[i]) == static_cast<double>(row));
      const auto& column = batch.cells[0];
      if (cells[row].empty())
        REQUIRE(column.digits[i] == Column::k_no_digits);
      else
        REQUIRE(value_of(column.digits[i], column.decimals[i]) == by_the_library(cells[row]));
      REQUIRE(batch.records[i] == std::to_string(row) + delimiter + cells[row]);
    }
  }
  CHECK(row == cells.size());
  CHECK(batches.left() == 0);
}

} // namespace

TEST_CASE("cells of every length and number of decimals are read in batches") {
  Random random(3);
  for (std::size_t before = 1; before <= 8; ++before) {
    for (std::size_t behind = 0; before + behind + (behind > 0 ? 1U : 0U) <= 9 && behind < 8;
         ++behind) {
      std::vector<std::string> cells;
      for (int i = 0; i < 100; ++i) cells.push_back(made_number(random, before, behind, '.'));
      check_cells(cells, ',', '.', "\n");
    }
  }
}

TEST_CASE(
    "cells of mixed lengths, signs and gaps are read in batches, with any mark and line end") {
  Random random(4);
  for (const char mark : {'.', ','}) {
    for (const char* line_end : {"\n", "\r\n"}) {
      std::vector<std::string> cells;
      std::size_t kind = 0;
      for (int i = 0; i < 3000; ++i) {
        if (random.below(40) == 0) kind = random.below(4);
        std::string cell = made_number(random, 1 + random.below(3), random.below(3), mark);
        if (kind == 1 || random.below(200) == 0) cell.insert(0, "-");
        if (kind == 2 || random.below(200) == 0) cell.clear();
        cells.push_back(cell);
      }
      check_cells(cells, ';', mark, line_end);
    }
  }
}

TEST_CASE("a character that belongs into no number is never read as one") {
  for (int odd = 1; odd < 256; ++odd) {
    const char c = static_cast<char>(odd);
    const bool is_digit = c >= '0' && c <= '9';
    if (is_digit || c == ',' || c == '\n') continue;
    for (std::size_t place = 0; place < 5; ++place) {
      if ((c == '.' && place == 2) || (c == '-' && place == 0)) continue; // those are numbers
      std::string cell = "85.25";
      cell[place] = c;
      std::string records;
      for (int i = 0; i < 40; ++i)
        records += std::to_string(i) + "," + (i == 21 ? cell : "85.25") + "\n";
      Batches batches(records);
      batches.next();
      CAPTURE(odd);
      CAPTURE(place);
      CHECK((*batches).rows == 21);
      CHECK((*batches).stopped);
    }
  }
}

TEST_CASE("a record with too few or too many cells, quotes or the look of a comment ends a batch") {
  for (const char* odd : {"7", "7,8,9", "7,\"8\"", "#7,8", "//7,8", "", "7\r8,9"}) {
    std::string records;
    for (int i = 0; i < 30; ++i) records += i == 17 ? std::string(odd) + "\n" : "7,8\n";
    Batches batches(records);
    batches.next();
    CAPTURE(odd);
    CHECK((*batches).rows == 17);
    CHECK((*batches).stopped);
  }
}

TEST_CASE("a record that is cut off is left for later") {
  Batches batches("1,85.5\n2,86.5\n3,87.");
  CHECK(batches.next());
  CHECK((*batches).rows == 2);
  CHECK_FALSE((*batches).stopped);
  CHECK(batches.left() == 5);
}
