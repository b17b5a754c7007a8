// SPDX-License-Identifier: Apache-2.0
// Records that are written like the one before: only the values have to be looked at.
#pragma once

#include "import/json_record.hpp"

#include <array>
#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

namespace coolband {

/// What stands between the values of a flat record, learnt from one record that was found valid.
/// A text with the same bytes between plain values is a valid record too.
class JsonLayout {
 public:
  /// Learns from `fields`, whose values stand in `whole` (the record, for JSON lines with its line
  /// end); value i belongs into cell `columns[i]`. False if the record is no model.
  bool learn(std::string_view whole, std::span<const JsonRecord::Field> fields,
             std::span<const std::size_t> columns);

  /// The size of the record at the start of `window`, and its cells; 0 if it is written otherwise
  /// or reaches beyond the window. `k_padding_bytes` behind the window are read.
  std::size_t take(std::string_view window, std::vector<std::string_view>& cells) const;
  /// Line ends in such a record.
  [[nodiscard]] std::size_t lines() const { return lines_; }

 private:
  static constexpr std::size_t k_longest_gap = 64;
  struct Gap {
    std::array<char, k_longest_gap> bytes{};
    std::size_t size = 0;
    std::size_t column = 0; ///< of the value behind it
    std::size_t blocks = 0; ///< of 16 bytes, but for the last
    unsigned last_mask = 0; ///< of the bytes that count in the last block
  };
  static bool stands(const Gap& gap, const char* at);
  bool add_gap(const char* from, const char* to, std::size_t column);

  std::vector<Gap> gaps_; ///< one more than values
  std::size_t lines_ = 0;
};

} // namespace coolband
