// SPDX-License-Identifier: Apache-2.0
// The library's event parser fills one text per column; no tree of values is built.
#include "import/json_columns.hpp"

#include "import/input_error.hpp"
#include "import/json_outline.hpp"
#include "import/json_record.hpp"
#include "import/json_words.hpp"

#include <algorithm>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::json;

constexpr std::size_t k_rows_sampled = 300;
constexpr std::size_t k_others_named = 8;

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
  bool start_object(std::size_t) override {
    if (arrays_ > 0) return open();
    path_.emplace_back();
    return path_.size() <= k_json_depth;
  }
  bool key(string_t& name) override {
    if (arrays_ == 0) path_.back() = name;
    return true;
  }
  bool end_object() override {
    if (arrays_ > 0) return close();
    path_.pop_back();
    return true;
  }
  bool start_array(std::size_t) override {
    if (arrays_ == 0) table_.columns.push_back({json_path(path_), {}, {}});
    return open();
  }
  bool end_array() override { return close(); }
  bool parse_error(std::size_t at, const std::string&,
                   const nlohmann::detail::exception&) override {
    error_at_ = at;
    return false;
  }

  [[nodiscard]] std::size_t error_at() const { return error_at_; }
  void note_others() {
    if (others_ > k_others_named)
      table_.notes.push_back(
          fmt::format("{} more values are no array and are not used", others_ - k_others_named));
  }

 private:
  bool open() {
    ++arrays_;
    return true;
  }
  /// A nested value counts as one empty cell, so that columns stay equal.
  bool close() {
    if (--arrays_ == 1) end_cell();
    return true;
  }
  bool add(std::string_view text) {
    if (arrays_ == 0) {
      if (++others_ <= k_others_named)
        table_.notes.push_back(fmt::format("\"{}\" is no array and is not used", json_path(path_)));
    } else if (arrays_ == 1) {
      table_.columns.back().text += text;
      end_cell();
    }
    return true;
  }
  void end_cell() {
    JsonColumn& column = table_.columns.back();
    column.ends.push_back(column.text.size());
  }

  JsonTable& table_;
  std::vector<std::string> path_; ///< keys of the open objects
  std::size_t arrays_ = 0;        ///< brackets open from a column on
  std::size_t others_ = 0;
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
  return input_error({name, line, column}, "this is not valid JSON",
                     column > 60 ? std::string() : std::string(rest.substr(0, rest.find('\n'))),
                     "coolband reads JSON as an array of objects, one object a line, rows in "
                     "arrays, or one object "
                     "of arrays");
}

std::optional<Error> check_lengths(const JsonTable& table) {
  for (const JsonColumn& column : table.columns) {
    if (column.ends.size() == table.rows()) continue;
    return input_error(
        {table.name, 0, 0},
        fmt::format("the columns are of unequal length: \"{}\" has {} values, \"{}\" has {}",
                    table.columns[0].name, table.rows(), column.name, column.ends.size()),
        {}, "write every column with one value a row, and null where one is missing");
  }
  return std::nullopt;
}

/// {"data": {"time": [], "coolant": []}}: what all names begin with tells nothing.
void drop_common_parent(JsonTable& table) {
  if (table.columns.empty()) return;
  const std::string& first = table.columns[0].name;
  const std::string parent = first.substr(0, first.rfind('.') + 1);
  const bool common =
      std::all_of(table.columns.begin(), table.columns.end(),
                  [&](const JsonColumn& column) { return column.name.starts_with(parent); });
  if (!common) return;
  for (JsonColumn& column : table.columns) column.name.erase(0, parent.size());
}

} // namespace

Result<JsonTable> read_json_columns(InputBuffer& input, const std::string& name) {
  while (input.more()) {
  }
  if (input.error()) return *input.error();
  JsonTable table{name, {}, {}};
  const std::string_view text = input.unread();
  // The library takes a zero byte for the end of its input.
  const std::size_t zero = text.find('\0');
  if (zero != std::string_view::npos) return invalid_json(name, text, zero + 1);
  const JsonWords words = mend_json_words({input.unread_data(), text.size()});
  ColumnCollector collector(table);
  if (!Json::sax_parse(text.begin(), text.end(), &collector)) {
    return invalid_json(name, text, collector.error_at());
  }
  if (table.rows() == 0)
    return input_error(
        {name, 0, 0}, "the log has no records", {},
        "check that the logger recorded anything, and that the file was copied whole");
  collector.note_others();
  if (words.missing > 0) table.notes.push_back(json_words_note(words.missing));
  drop_common_parent(table);
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
