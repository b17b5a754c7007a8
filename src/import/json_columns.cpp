// SPDX-License-Identifier: Apache-2.0
// The library's event parser fills one text per column; no tree of values is built.
#include "import/json_columns.hpp"

#include "import/input_error.hpp"

#include <algorithm>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::json;

constexpr std::size_t k_rows_sampled = 300;

class ColumnCollector : public nlohmann::json_sax<Json> {
 public:
  explicit ColumnCollector(JsonTable& table) : table_(table) {}

  bool null() override { return add({}); }
  bool boolean(bool value) override { return add(value ? "true" : "false"); }
  bool number_integer(number_integer_t value) override { return add(std::to_string(value)); }
  bool number_unsigned(number_unsigned_t value) override { return add(std::to_string(value)); }
  bool number_float(number_float_t, const string_t& text) override { return add(text); }
  bool string(string_t& value) override { return add(value); }
  bool binary(binary_t&) override { return false; }
  bool start_object(std::size_t) override { return open(); }
  bool end_object() override { return close(); }
  bool start_array(std::size_t) override {
    if (depth_ == 1) table_.columns.push_back({key_, {}, {}});
    in_column_ = depth_ >= 1;
    return open();
  }
  bool end_array() override { return close(); }
  bool key(string_t& name) override {
    if (depth_ == 1) key_ = name;
    return true;
  }
  bool parse_error(std::size_t at, const std::string&,
                   const nlohmann::detail::exception&) override {
    error_at_ = at;
    return false;
  }

  [[nodiscard]] std::size_t error_at() const { return error_at_; }

 private:
  bool open() {
    ++depth_;
    return true;
  }
  /// A value nested deeper than a cell counts as one empty cell, so that columns stay equal.
  bool close() {
    --depth_;
    if (depth_ <= 1) in_column_ = false;
    if (depth_ == 2 && in_column_)
      table_.columns.back().ends.push_back(table_.columns.back().text.size());
    return true;
  }
  bool add(std::string_view text) {
    if (depth_ == 1) {
      table_.notes.push_back(fmt::format("\"{}\" is no array and is not used", key_));
    } else if (depth_ == 2 && in_column_) {
      table_.columns.back().text += text;
      table_.columns.back().ends.push_back(table_.columns.back().text.size());
    }
    return true;
  }

  JsonTable& table_;
  std::string key_;
  std::size_t depth_ = 0;
  bool in_column_ = false;
  std::size_t error_at_ = 0;
};

Error invalid_json(const std::string& name, std::string_view text, std::size_t at) {
  at = std::min(at, text.size());
  const std::string_view before = text.substr(0, at > 0 ? at - 1 : 0);
  const auto line = static_cast<std::size_t>(std::count(before.begin(), before.end(), '\n')) + 1;
  const std::size_t start =
      before.rfind('\n') == std::string_view::npos ? 0 : before.rfind('\n') + 1;
  const std::size_t column = before.size() - start + 1;
  // The line may be the whole file: quote only what stands around the place.
  const std::size_t from = column > 60 ? before.size() - 60 : start;
  const std::string_view rest = text.substr(from, 80);
  return input_error(
      {name, line, column}, "this is not valid JSON",
      column > 60 ? std::string() : std::string(rest.substr(0, rest.find('\n'))),
      "coolband reads JSON as an array of objects, one object a line, or one object of arrays");
}

std::optional<Error> check_lengths(const JsonTable& table) {
  for (const JsonColumn& column : table.columns) {
    if (column.ends.size() == table.rows()) continue;
    return input_error(
        {table.name, 0, 0},
        fmt::format("the columns are of unequal length: \"{}\" has {} values, \"{}\" has {}",
                    table.columns[0].name, table.rows(), column.name, column.ends.size()),
        {}, {});
  }
  return std::nullopt;
}

} // namespace

Result<JsonTable> read_json_columns(InputBuffer& input, const std::string& name) {
  while (input.more()) {
  }
  if (input.error()) return *input.error();
  const std::string_view text = input.unread();
  JsonTable table{name, {}, {}};
  ColumnCollector collector(table);
  if (!Json::sax_parse(text.begin(), text.end(), &collector)) {
    return invalid_json(name, text, collector.error_at());
  }
  if (auto error = check_lengths(table)) return *error;
  for (JsonColumn& column : table.columns) column.text.append(k_cell_padding, '\0');
  return table;
}

TableHead JsonTable::head() const {
  TableHead head;
  head.name = name;
  head.width = columns.size();
  NumberStyleGuess guess;
  for (const JsonColumn& column : columns) head.headings.push_back(column.name);
  for (std::size_t row = 0; row < std::min(rows(), k_rows_sampled); ++row) {
    head.sample.emplace_back();
    for (const JsonColumn& column : columns) {
      guess.see(column.cell(row));
      head.sample.back().emplace_back(column.cell(row));
    }
  }
  head.numbers = guess.style(true);
  return head;
}

bool JsonColumnsReader::next(Row& row) {
  if (row_ == table_->rows()) return false;
  for (std::size_t i = 0; i < cells_.size(); ++i) cells_[i] = table_->columns[i].cell(row_);
  ++row_;
  row = {0, cells_, {}, nullptr};
  return true;
}

} // namespace coolband
