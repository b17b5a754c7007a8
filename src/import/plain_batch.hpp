// SPDX-License-Identifier: Apache-2.0
// Many records at once, each cell a plain decimal: what nearly all rows of nearly all logs are.
#pragma once

#include "coolband/import/recording.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

namespace coolband {

/// Records as columns of digits. Whatever is not plain (quotes, text, exponents, signs other than
/// a minus, too many digits, another number of fields) never gets into a batch: the reader stops
/// before it, and the slow road, which alone decides what a record means, takes that record.
struct PlainBatch {
  static constexpr std::size_t k_rows = 512;

  struct Cells {
    std::size_t column = 0;
    std::uint8_t guess = 0; ///< decimals of the last cell: the next one mostly has as many
    std::array<std::int32_t, k_rows> digits{}; ///< `Column::k_no_digits`: an empty cell
    std::array<std::uint8_t, k_rows> decimals{};
  };
  std::size_t width = 0; ///< fields of a record
  char mark = '.';       ///< of the decimals: '.' or ','
  std::size_t time_column = 0;
  std::uint8_t time_guess = 0;
  std::array<std::int64_t, k_rows> time_digits{};
  std::array<std::uint8_t, k_rows> time_decimals{};
  std::vector<Cells> cells;                     ///< by ascending column; without the time
  std::array<std::string_view, k_rows> records; ///< valid until the reader's next call
  std::size_t rows = 0;
  bool stopped = false;       ///< the next record is not plain
  std::size_t first_line = 0; ///< each record takes one line
};

/// Finds the separators of delimited text ahead of the cells, and reads whole batches of records.
class PlainScan {
 public:
  explicit PlainScan(char delimiter);

  /// Fills `batch` from the start of `text`, until it is full or a record is not plain or not
  /// complete. Returns the bytes used. Up to 64 bytes behind `text` may be loaded.
  std::size_t read(std::string_view text, PlainBatch& batch);

 private:
  void make_room();
  std::size_t read_slice(std::string_view slice, PlainBatch& batch);
  void index(const char* from, const char* to);
  [[nodiscard]] std::size_t regular_records(std::string_view slice, std::size_t width,
                                            std::size_t ending) const;
  [[nodiscard]] bool is_whole(std::string_view slice, const std::uint32_t* marks,
                              std::size_t width) const;

  char delimiter_;
  /// Of delimiters, quotes and line ends in a slice, from the second entry on.
  std::vector<std::uint32_t> places_;
  std::size_t place_count_ = 0;
  std::size_t other_marks_ = 0; ///< those that are no delimiters
};

} // namespace coolband
