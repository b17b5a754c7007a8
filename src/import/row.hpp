// SPDX-License-Identifier: Apache-2.0
// One record of a log as the readers hand it on.
#pragma once

#include <cstddef>
#include <span>
#include <string_view>

namespace coolband {

/// Valid until the reader's next call.
struct Row {
  std::size_t line = 0; ///< 1-based line where the record begins
  /// Blanks are kept. `k_cell_padding` bytes behind each cell may be read.
  std::span<const std::string_view> cells;
  std::string_view fault;      ///< why the record could not be taken apart; else empty
  const char* begin = nullptr; ///< first byte of the record
};

} // namespace coolband
