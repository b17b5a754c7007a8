// SPDX-License-Identifier: Apache-2.0
// The records of a JSON log as rows of cells.
#pragma once

#include "import/json_head.hpp"
#include "import/json_layout.hpp"
#include "import/json_record.hpp"
#include "import/json_scan.hpp"
#include "import/row.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace coolband {

class JsonReader : public RowReader {
 public:
  JsonReader(InputBuffer& input, const JsonShape& shape, JsonHead head);

  bool next(Row& row) override;
  [[nodiscard]] const std::optional<Error>& error() const override { return scan_.error(); }
  /// Keys that came too late to be used or stand twice in a record, words that are no JSON, and
  /// what is odd between the records.
  [[nodiscard]] std::vector<std::string> notes() const override;

 private:
  static constexpr std::size_t k_layouts = 4;

  bool take_by_layout(Row& row);
  bool next_slowly(Row& row);
  void hand_on(Row& row, std::size_t line, const char* begin);
  void learn(const JsonScan::Record& found);
  bool fill();
  void fill_by_key();
  void fill_by_place();
  std::size_t column_of(std::string_view key, std::size_t guess);
  void note_late(std::string_view key);

  JsonHead head_;
  JsonScan scan_;
  JsonRecord record_;
  bool rows_;
  std::unordered_map<std::string_view, std::size_t> index_; ///< views into head_.keys
  std::vector<std::string_view> cells_;
  std::string_view damaged_;
  std::size_t count_ = 0;              ///< cells of the table that the record has
  std::vector<std::size_t> columns_;   ///< of the last record's fields
  std::vector<std::size_t> filled_in_; ///< the record in which each cell was last filled
  std::size_t records_ = 0;
  std::array<JsonLayout, k_layouts> layouts_;
  std::array<std::size_t, k_layouts> layout_counts_{}; ///< cells of such a record; 0: not learnt
  std::size_t layout_ = 0;                             ///< the one that fitted last
  bool mixed_ = true; ///< cells that it does not fill may be filled
  std::size_t learnt_ = 0;
  std::vector<std::string> late_;
  std::size_t twice_ = 0;
  std::size_t words_ = 0;
};

} // namespace coolband
