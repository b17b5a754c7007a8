// SPDX-License-Identifier: Apache-2.0
// A JSON object of arrays, one array a column. This layout has to be read whole.
#pragma once

#include "coolband/core/result.hpp"
#include "import/input_buffer.hpp"
#include "import/row.hpp"
#include "import/table_head.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband {

struct JsonColumn {
  std::string name;
  std::string text;              ///< all cells, one behind the other
  std::vector<std::size_t> ends; ///< where each cell ends in `text`

  [[nodiscard]] std::string_view cell(std::size_t row) const {
    const std::size_t from = row == 0 ? 0 : ends[row - 1];
    return std::string_view(text).substr(from, ends[row] - from);
  }
};

struct JsonTable {
  std::string name;
  std::vector<JsonColumn> columns;
  std::vector<std::string> notes;

  [[nodiscard]] std::size_t rows() const { return columns.empty() ? 0 : columns[0].ends.size(); }
  [[nodiscard]] TableHead head() const;
};

/// Errors (kind input): not valid JSON (with line and column), or columns of unequal length.
/// Values beside the arrays are passed over with a note.
Result<JsonTable> read_json_columns(InputBuffer& input, const std::string& name);

class JsonColumnsReader : public RowReader {
 public:
  explicit JsonColumnsReader(const JsonTable& table)
      : table_(&table), cells_(table.columns.size()) {}

  bool next(Row& row) override;
  [[nodiscard]] const std::optional<Error>& error() const override { return error_; }
  [[nodiscard]] std::vector<std::string> notes() const override { return table_->notes; }

 private:
  const JsonTable* table_;
  std::vector<std::string_view> cells_;
  std::size_t row_ = 0;
  std::optional<Error> error_;
};

} // namespace coolband
