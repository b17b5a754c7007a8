// SPDX-License-Identifier: Apache-2.0
// Gathers keys from objects, or headings from the first rows.
#include "import/json_head.hpp"

#include "coolband/core/units.hpp"
#include "import/input_error.hpp"
#include "import/json_record.hpp"
#include "import/json_scan.hpp"
#include "import/vocabulary.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <unordered_map>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Values of one record by key, or one row of cells.
struct SampleRecord {
  std::vector<std::pair<std::size_t, std::string>> cells; ///< column, text
  std::size_t line = 0;
};

class Gatherer {
 public:
  Gatherer(std::string_view sample, const JsonShape& shape, const std::string& name)
      : source_(sample), input_(source_, k_sample_block_bytes), scan_(input_, shape, name),
        rows_(shape.rows) {}

  void run() {
    JsonScan::Record found;
    JsonRecord record;
    for (scan_.step(); records_.size() < k_records_sampled && scan_.next(found); scan_.step()) {
      if (first_line_ == 0) first_line_ = found.line;
      if (!found.fault.empty() || !record.parse(found.text).empty()) continue;
      add(record, found.line);
    }
  }

  [[nodiscard]] std::vector<std::string>& keys() { return keys_; }
  [[nodiscard]] std::vector<SampleRecord>& records() { return records_; }
  /// Of the first record, good or bad; 0 when there is none.
  [[nodiscard]] std::size_t first_line() const { return first_line_; }

 private:
  void add(const JsonRecord& record, std::size_t line) {
    records_.push_back({{}, line});
    auto& cells = records_.back().cells;
    for (const auto& field : record.fields()) {
      std::size_t column = cells.size();
      if (!rows_) {
        const auto [place, fresh] = index_.emplace(std::string(field.name), keys_.size());
        if (fresh) keys_.emplace_back(field.name);
        column = place->second;
      }
      cells.emplace_back(column, std::string(field.text));
    }
  }

  MemorySource source_;
  InputBuffer input_;
  JsonScan scan_;
  bool rows_;
  std::vector<std::string> keys_;
  std::unordered_map<std::string, std::size_t> index_;
  std::vector<SampleRecord> records_;
  std::size_t first_line_ = 0;
};

void take_sample(const std::vector<SampleRecord>& records, TableHead& head) {
  NumberStyleGuess guess;
  for (const SampleRecord& record : records) {
    std::vector<std::string> row(head.width);
    for (const auto& [column, text] : record.cells) {
      guess.see(text);
      if (column >= row.size()) row.resize(column + 1);
      row[column] = text;
    }
    head.sample.push_back(std::move(row));
  }
  head.numbers = guess.style(true);
}

/// "coolant.value" gives "coolant" if its last part is one of `ends`; else nothing.
template <std::size_t Size>
std::string_view parent_of(std::string_view key, const std::array<std::string_view, Size>& ends) {
  const std::size_t dot = key.rfind('.');
  if (dot == std::string_view::npos || dot == 0) return {};
  const bool fits = std::any_of(ends.begin(), ends.end(),
                                [&](auto end) { return same_text(key.substr(dot + 1), end); });
  return fits ? key.substr(0, dot) : std::string_view();
}

struct KeyColumn {
  std::size_t index = 0; ///< as gathered
  std::string key;
  std::string heading;
  std::string unit;
  bool tells_unit = false; ///< a cell of it must say `unit`
};

/// What a column says in every record that has it; empty if it says several things.
std::string only_text(const std::vector<SampleRecord>& records, std::size_t wanted) {
  std::string only;
  for (const SampleRecord& record : records) {
    for (const auto& [column, text] : record.cells) {
      if (column != wanted || text.empty()) continue;
      if (!only.empty() && only != text) return {};
      only = text;
    }
  }
  return only;
}

bool has_key(const std::vector<KeyColumn>& columns, const std::string& key) {
  return std::any_of(columns.begin(), columns.end(), [&](auto& c) { return c.key == key; });
}

/// {"coolant": {"value": 85, "unit": "degC"}} is a column "coolant" in degC.
void pair_with_units(std::vector<KeyColumn>& columns, const std::vector<SampleRecord>& records,
                     std::vector<std::string>& notes) {
  static constexpr std::array<std::string_view, 3> value_ends{"value", "val", "v"};
  static constexpr std::array<std::string_view, 3> unit_ends{"unit", "units", "uom"};
  for (KeyColumn& value : columns) {
    const std::string parent(parent_of(value.key, value_ends));
    // A parent with a name of its own tells which signal it is only in that name.
    if (parent.empty() || has_key(columns, parent) || has_key(columns, parent + ".name")) continue;
    const auto unit = std::find_if(columns.begin(), columns.end(), [&](const KeyColumn& column) {
      return parent_of(column.key, unit_ends) == parent;
    });
    if (unit == columns.end()) continue;
    unit->unit = only_text(records, unit->index);
    unit->tells_unit = !unit->unit.empty();
    if (unit->tells_unit) {
      value.heading = parent;
      value.unit = unit->unit;
    } else {
      notes.push_back(
          fmt::format("\"{}\" is not always the same: it is not used", as_utf8(unit->key)));
    }
  }
}

void take_keys(Gatherer& seen, JsonHead& head) {
  std::vector<KeyColumn> columns;
  for (const std::string& key : seen.keys())
    columns.push_back({columns.size(), key, key, {}, false});
  pair_with_units(columns, seen.records(), head.table.notes);
  std::stable_partition(columns.begin(), columns.end(), [](auto& c) { return !c.tells_unit; });
  std::vector<std::size_t> place(columns.size());
  TableHead& table = head.table;
  for (const KeyColumn& column : columns) {
    place[column.index] = head.keys.size();
    if (column.tells_unit) {
      head.units.push_back({head.keys.size(), column.unit});
    } else {
      table.headings.push_back(as_utf8(column.heading));
      table.units.push_back(as_utf8(column.unit));
    }
    head.keys.push_back(column.key);
  }
  if (head.units.empty()) table.units.clear();
  table.width = table.headings.size();
  for (SampleRecord& record : seen.records()) {
    for (auto& cell : record.cells) cell.first = place[cell.first];
  }
}

bool is_number_or_time(std::string_view cell) {
  cell = trimmed(cell);
  if (cell.empty()) return true;
  const char c = cell[0];
  return (c >= '0' && c <= '9') || ((c == '-' || c == '+' || c == '.') && cell.size() > 1);
}

/// All words, at most one of them empty: there is one column without a name in many tables.
bool is_heading_row(const SampleRecord& row) {
  std::size_t empty = 0;
  for (const auto& [column, text] : row.cells) {
    if (text.empty())
      ++empty;
    else if (is_number_or_time(text) || switch_state(text))
      return false;
  }
  return empty <= 1 && row.cells.size() > empty;
}

/// Every cell is a unit or empty, and at least two are units.
bool is_units_row(const SampleRecord& row) {
  std::size_t units = 0;
  for (const auto& [column, text] : row.cells) {
    if (text.empty() || text == "-") continue;
    if (!unit_named(text)) return false;
    ++units;
  }
  return units >= 2;
}

std::vector<std::string> texts_of(const SampleRecord& row) {
  std::vector<std::string> texts;
  for (const auto& [column, text] : row.cells) texts.push_back(as_utf8(trimmed(text)));
  return texts;
}

std::size_t usual_width(const std::vector<SampleRecord>& rows) {
  std::map<std::size_t, std::size_t> counts;
  for (const SampleRecord& row : rows) ++counts[row.cells.size()];
  const auto most = std::max_element(counts.begin(), counts.end(),
                                     [](auto& a, auto& b) { return a.second < b.second; });
  return most == counts.end() ? 0 : most->first;
}

void take_rows(Gatherer& seen, const JsonShape& shape, JsonHead& head) {
  std::vector<SampleRecord>& rows = seen.records();
  TableHead& table = head.table;
  if (rows.empty()) return;
  table.headings = shape.headings;
  table.units = shape.units;
  std::size_t first = 0;
  if (table.headings.empty() && is_heading_row(rows[0])) {
    table.headings = texts_of(rows[0]);
    table.line = rows[0].line;
    first = 1;
    if (rows.size() > 1 && is_units_row(rows[1])) {
      table.units = texts_of(rows[1]);
      first = 2;
    }
  }
  head.head_records = first;
  rows.erase(rows.begin(), rows.begin() + static_cast<std::ptrdiff_t>(first));
  table.width = table.headings.empty() ? usual_width(rows) : table.headings.size();
}

Error no_record(const std::string& name, std::size_t line, bool complete) {
  return input_error({name, line, 0},
                     complete && line == 0
                         ? "the log has no records"
                         : "this looks like JSON, but no record of it can be read",
                     {},
                     "coolband reads JSON as an array of objects, one object a line, rows in "
                     "arrays, or one object of arrays");
}

} // namespace

Result<JsonHead> find_json_head(std::string_view sample, bool complete, const JsonShape& shape,
                                const std::string& name) {
  Gatherer seen(sample, shape, name);
  seen.run();
  JsonHead head;
  head.table.name = name;
  if (shape.rows)
    take_rows(seen, shape, head);
  else
    take_keys(seen, head);
  if (head.table.width == 0) return no_record(name, seen.first_line(), complete);
  take_sample(seen.records(), head.table);
  const auto& notes = shape.notes;
  head.table.notes.insert(head.table.notes.begin(), notes.begin(), notes.end());
  return head;
}

} // namespace coolband
