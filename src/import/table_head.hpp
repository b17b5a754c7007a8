// SPDX-License-Identifier: Apache-2.0
// What is known of a table before its rows are read: headings, a units row and a sample.
#pragma once

#include "coolband/core/error.hpp"
#include "import/heading.hpp"
#include "import/number_text.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace coolband {

/// Records that are looked at to settle what a table is.
inline constexpr std::size_t k_records_sampled = 300;

struct TableHead {
  std::string name;                  ///< of the source, for messages
  std::vector<std::string> headings; ///< UTF-8; empty when the log has no heading row
  std::vector<std::string> units;    ///< the units row under the headings, or empty
  /// What a column means, where something else than its heading says it.
  std::vector<std::optional<HeadingReading>> meanings;
  std::vector<std::vector<std::string>> sample; ///< the first data rows
  std::size_t width = 0;                        ///< cells that a data row has
  std::size_t line = 0;                         ///< of the headings; 0 when there are none
  std::size_t last_head_line = 0;               ///< data begins behind this line
  std::string text;            ///< the heading line as it stands in the file, or the first record's
  std::size_t record_line = 1; ///< of the first record where no headings are
  std::vector<std::size_t> byte_columns; ///< 1-based place of each heading in `text`
  char delimiter = ',';
  NumberStyle numbers;
  std::vector<std::string> notes;

  [[nodiscard]] Origin origin_of(std::size_t column) const {
    return {name, line, column < byte_columns.size() ? byte_columns[column] : 0};
  }
  [[nodiscard]] std::string heading_of(std::size_t column) const {
    return column < headings.size() ? headings[column] : std::string();
  }
};

} // namespace coolband
