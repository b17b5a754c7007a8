// SPDX-License-Identifier: Apache-2.0
// Delimited text, record by record: RFC 4180 quotes, any line end, comments and blank lines
// skipped.
#pragma once

#include "import/input_buffer.hpp"
#include "import/row.hpp"
#include "import/separator_scan.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband {

/// A quote counts as such only at the start of a cell; elsewhere it is a character like others.
/// A quote that is never closed makes its line a record with a fault, and reading goes on behind
/// that line. Lines that begin with #, // or (unless it is the delimiter) ; are comments.
class CsvReader : public RowReader {
 public:
  CsvReader(InputBuffer& input, char delimiter, std::string name);

  /// False at the end, or on an error: a failing source or a record above the limit.
  bool next(Row& row) override;
  bool next_batch(PlainBatch& batch) override;
  [[nodiscard]] const std::optional<Error>& error() const override { return error_; }

 private:
  enum class Outcome { record, blank, need_more, quoted };

  void start();
  bool load();
  void restart_scan();
  Outcome scan_plain();
  Outcome scan_quoted();
  void split_quoted(std::size_t size);
  bool skip_comment();
  void finish(std::size_t size, std::size_t lines);
  void add(const char* from, const char* to) {
    if (count_ == cells_.size()) cells_.resize(cells_.size() * 2);
    cells_[count_++] = {from, static_cast<std::size_t>(to - from)};
  }
  [[nodiscard]] bool is_comment(std::string_view text) const;

  InputBuffer* input_;
  SeparatorScan scan_;
  PlainScan plain_;
  std::size_t pause_ = 0; ///< records to leave to the slow road before trying again
  std::size_t next_pause_ = 1;
  char delimiter_;
  std::string name_;
  std::size_t line_ = 1; ///< of the next record
  std::size_t record_line_ = 1;
  std::string_view fault_;
  const char* record_ = nullptr;
  bool started_ = false;
  std::vector<std::string_view> cells_;
  std::size_t count_ = 0;
  std::optional<Error> error_;
};

} // namespace coolband
