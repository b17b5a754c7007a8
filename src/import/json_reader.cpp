// SPDX-License-Identifier: Apache-2.0
// Most records are written like the one before; the others are taken apart one by one.
#include "import/json_reader.hpp"

#include "import/json_words.hpp"
#include "import/vocabulary.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::size_t k_late_keys_named = 8;

} // namespace

JsonReader::JsonReader(InputBuffer& input, const JsonShape& shape, JsonHead head)
    : head_(std::move(head)), scan_(input, shape, head_.table.name), rows_(shape.rows),
      cells_(std::max(head_.keys.size(), head_.table.width)), filled_in_(head_.keys.size(), 0) {
  for (std::size_t i = 0; i < head_.keys.size(); ++i) index_.emplace(head_.keys[i], i);
  JsonScan::Record passed_over;
  for (std::size_t left = head_.head_records; left > 0;) {
    scan_.step();
    if (!scan_.next(passed_over)) return;
    if (passed_over.fault.empty() && record_.parse(passed_over.text).empty()) --left;
  }
}

bool JsonReader::next(Row& row) {
  scan_.step();
  return take_by_layout(row) || next_slowly(row);
}

bool JsonReader::take_by_layout(Row& row) {
  const std::string_view ahead = scan_.ahead();
  for (std::size_t tried = 0; tried < k_layouts; ++tried) {
    const std::size_t at = (layout_ + tried) % k_layouts;
    if (layout_counts_[at] == 0) continue;
    if (mixed_) std::fill(cells_.begin(), cells_.end(), std::string_view());
    const std::size_t size = layouts_[at].take(ahead, cells_);
    mixed_ = size == 0;
    if (mixed_) continue;
    layout_ = at;
    count_ = layout_counts_[at];
    ++records_;
    scan_.take(size, layouts_[at].lines());
    hand_on(row, scan_.line(), ahead.data());
    return true;
  }
  return false;
}

bool JsonReader::next_slowly(Row& row) {
  JsonScan::Record found;
  if (!scan_.next(found)) return false;
  ++records_;
  std::string_view fault = found.fault;
  if (fault.empty()) fault = record_.parse(found.text);
  if (fault.empty()) {
    words_ += record_.words();
    if (fill()) learn(found);
    hand_on(row, found.line, found.text.data());
    return true;
  }
  if (found.unended && fault == "not valid JSON") fault = "record cut short";
  damaged_ = found.text;
  row = {found.line, {&damaged_, 1}, fault, found.text.data()};
  return true;
}

/// A unit that is another one than in the first records makes its value useless.
void JsonReader::hand_on(Row& row, std::size_t line, const char* begin) {
  row = {line, {cells_.data(), count_}, {}, begin};
  for (const JsonUnitCell& unit : head_.units) {
    if (!cells_[unit.column].empty() && cells_[unit.column] != unit.text)
      row.fault = "another unit than in the first records";
  }
}

/// Takes the record as a model for those to come.
void JsonReader::learn(const JsonScan::Record& found) {
  if (!record_.is_flat()) return;
  const std::size_t at = learnt_++ % k_layouts;
  const bool learnt = layouts_[at].learn(found.whole, record_.fields(), columns_);
  layout_counts_[at] = learnt && !found.unended ? count_ : 0;
  layout_ = at;
  mixed_ = false;
}

/// False if the record cannot be a model: it has a key twice or one that has no column.
bool JsonReader::fill() {
  columns_.clear();
  mixed_ = true;
  std::fill(cells_.begin(), cells_.end(), std::string_view());
  const std::size_t twice = twice_;
  if (rows_)
    fill_by_place();
  else
    fill_by_key();
  return twice == twice_ && columns_.size() == record_.fields().size();
}

void JsonReader::fill_by_place() {
  const auto& fields = record_.fields();
  count_ = fields.size();
  if (count_ > cells_.size()) cells_.resize(count_);
  for (std::size_t i = 0; i < count_; ++i) {
    cells_[i] = fields[i].text;
    columns_.push_back(i);
  }
}

void JsonReader::fill_by_key() {
  count_ = head_.table.width;
  std::size_t guess = 0;
  for (const auto& field : record_.fields()) {
    const std::size_t column = column_of(field.name, guess);
    guess = column + 1;
    if (column == head_.keys.size()) {
      note_late(field.name);
      continue;
    }
    if (filled_in_[column] == records_) ++twice_;
    filled_in_[column] = records_;
    cells_[column] = field.text;
    columns_.push_back(column);
  }
}

/// Records mostly repeat the order of their keys, so the guess is nearly always right.
std::size_t JsonReader::column_of(std::string_view key, std::size_t guess) {
  if (guess < head_.keys.size() && head_.keys[guess] == key) return guess;
  const auto found = index_.find(key);
  return found == index_.end() ? head_.keys.size() : found->second;
}

void JsonReader::note_late(std::string_view name) {
  if (late_.size() == k_late_keys_named) return;
  const std::string key = as_utf8(name);
  if (std::find(late_.begin(), late_.end(), key) == late_.end()) late_.push_back(key);
}

std::vector<std::string> JsonReader::notes() const {
  std::vector<std::string> notes = scan_.notes();
  for (const std::string& key : late_) {
    notes.push_back(
        fmt::format("\"{}\" appears only behind the first records and is not used", key));
  }
  if (twice_ > 0)
    notes.push_back(fmt::format("{} {} twice in a record: the last value is used", twice_,
                                twice_ == 1 ? "key stands" : "keys stand"));
  if (words_ > 0) notes.push_back(json_words_note(words_));
  return notes;
}

} // namespace coolband
