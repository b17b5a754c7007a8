// SPDX-License-Identifier: Apache-2.0
// One record of a log as the readers hand it on, and what every reader can do.
#pragma once

#include "coolband/core/error.hpp"
#include "import/plain_batch.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// Valid until the reader's next call.
struct Row {
  std::size_t line = 0; ///< 1-based line where the record begins
  /// Blanks are kept. `k_cell_padding` bytes behind each cell may be read.
  std::span<const std::string_view> cells;
  std::string_view fault;      ///< why the record could not be taken apart; else empty
  const char* begin = nullptr; ///< first byte of the record
};

/// A reader of rows: delimited text, or JSON in any of its layouts.
class RowReader {
 public:
  virtual ~RowReader() = default;
  /// False at the end, or on an error.
  virtual bool next(Row& row) = 0;
  [[nodiscard]] virtual const std::optional<Error>& error() const = 0;
  /// Many plain records at once, where the reader can; false: the next one is for `next`.
  virtual bool next_batch(PlainBatch& /*batch*/) { return false; }
  /// What there is to say about the rows once they are read.
  [[nodiscard]] virtual std::vector<std::string> notes() const { return {}; }
};

} // namespace coolband
