// SPDX-License-Identifier: Apache-2.0
// JSON records, one at a time, from an array of objects or from one object a line.
#pragma once

#include "coolband/core/result.hpp"
#include "import/input_buffer.hpp"
#include "import/json_record.hpp"
#include "import/row.hpp"
#include "import/table_head.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace coolband {

/// Finds where each record ends, without parsing it; a record that is damaged is handed on with
/// that said, and the next one is looked for behind it.
class JsonScan {
 public:
  struct Record {
    std::string_view text;
    std::size_t line = 0;
    std::string_view fault;
  };

  /// `by_line`: every line is a record; else records are objects between commas or blanks.
  JsonScan(InputBuffer& input, bool by_line, std::string name);
  bool next(Record& record);
  [[nodiscard]] const std::optional<Error>& error() const { return error_; }

 private:
  bool next_line(Record& record);
  bool next_object(Record& record);
  bool skip_to_object();
  bool more();
  void consume(std::size_t size);

  InputBuffer* input_;
  bool by_line_;
  std::string name_;
  std::size_t line_ = 1;
  std::size_t used_ = 0; ///< bytes of the last record, to be consumed by the next call
  bool closed_ = false;
  std::optional<Error> error_;
};

class JsonReader : public RowReader {
 public:
  JsonReader(InputBuffer& input, bool by_line, const std::vector<std::string>& headings,
             std::string name);

  bool next(Row& row) override;
  [[nodiscard]] const std::optional<Error>& error() const override { return scan_.error(); }
  /// Keys that came too late to be used, and keys that a record has twice.
  [[nodiscard]] std::vector<std::string> notes() const override;

 private:
  std::size_t column_of(std::string_view name, std::size_t guess);
  void fill(const std::vector<JsonRecord::Field>& fields);

  JsonScan scan_;
  JsonRecord record_;
  std::vector<std::string> headings_;
  std::unordered_map<std::string_view, std::size_t> index_; ///< views into headings_
  std::vector<std::string_view> cells_;
  std::vector<std::size_t> filled_in_; ///< the record in which each cell was last filled
  std::size_t records_ = 0;
  std::vector<std::string> late_;
  std::size_t twice_ = 0;
};

/// Gathers the keys of the first records. Errors (kind input): no record can be read.
Result<TableHead> find_json_head(std::string_view sample, bool complete, bool by_line,
                                 const std::string& name);

} // namespace coolband
