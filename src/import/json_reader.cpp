// SPDX-License-Identifier: Apache-2.0
// A scanner for the borders of records, and the reader that puts their fields into columns.
#include "import/json_reader.hpp"

#include "import/input_error.hpp"

#include "import/vocabulary.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::size_t k_records_sampled = 300;
constexpr std::size_t k_late_keys_named = 8;

struct ObjectEnd {
  std::size_t size = 0; ///< 0: more bytes are needed
  bool broken = false;
};

/// The end of the object at the start of `text`. A line end inside a string is never valid, so a
/// record whose quotes are damaged ends there.
ObjectEnd find_object_end(std::string_view text) {
  std::size_t depth = 0;
  bool in_string = false;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const char c = text[at];
    if (in_string) {
      if (c == '\n') return {at, true};
      if (c == '\\') ++at;
      in_string = c != '"';
    } else if (c == '"') {
      in_string = true;
    } else if (c == '{' || c == '[') {
      ++depth;
    } else if ((c == '}' || c == ']') && --depth == 0) {
      return {at + 1, false};
    }
  }
  return {};
}

bool is_between(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n' || c == ','; }

} // namespace

JsonScan::JsonScan(InputBuffer& input, bool by_line, std::string name)
    : input_(&input), by_line_(by_line), name_(std::move(name)) {}

bool JsonScan::more() {
  if (input_->unread().size() > k_record_limit) {
    error_ = input_error({name_, line_, 0}, "a record of this log is longer than 1 MiB", {},
                         "check that this is a log of records");
    return false;
  }
  const bool got = input_->more();
  if (!got && input_->error()) error_ = input_->error();
  return got;
}

void JsonScan::consume(std::size_t size) {
  const std::string_view text = input_->unread().substr(0, size);
  line_ += static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
  input_->consume(size);
}

bool JsonScan::next(Record& record) {
  consume(used_);
  used_ = 0;
  if (closed_ || error_) return false;
  return by_line_ ? next_line(record) : next_object(record);
}

bool JsonScan::next_line(Record& record) {
  for (;;) {
    std::size_t end = input_->unread().find('\n');
    while (end == std::string_view::npos && more()) end = input_->unread().find('\n');
    if (error_) return false;
    const std::string_view text = input_->unread();
    if (text.empty()) return false;
    used_ = std::min(text.size(), end == std::string_view::npos ? end : end + 1);
    const std::string_view line = trimmed(text.substr(0, std::min(end, text.size())));
    if (!line.empty()) {
      record = {line, line_, line[0] == '{' ? std::string_view() : "not a JSON object"};
      return true;
    }
    consume(used_);
    used_ = 0;
  }
}

/// Passes over what stands between records; false at the end of the array or of the input.
bool JsonScan::skip_to_object() {
  for (;;) {
    const std::string_view text = input_->unread();
    std::size_t at = 0;
    while (at < text.size() && (is_between(text[at]) || text[at] == '[')) ++at;
    consume(at);
    if (at < text.size()) {
      closed_ = text[at] == ']';
      return !closed_;
    }
    if (!more()) return false;
  }
}

bool JsonScan::next_object(Record& record) {
  if (!skip_to_object()) return false;
  if (input_->unread()[0] != '{') {
    std::size_t end = input_->unread().find_first_of("{\n]");
    while (end == std::string_view::npos && more()) end = input_->unread().find_first_of("{\n]");
    if (error_) return false;
    used_ = std::min(end, input_->unread().size());
    record = {input_->unread().substr(0, used_), line_, "not a JSON object"};
    return true;
  }
  ObjectEnd end = find_object_end(input_->unread());
  while (end.size == 0 && more()) end = find_object_end(input_->unread());
  if (error_) return false;
  const bool cut = end.size == 0;
  used_ = cut ? input_->unread().size() : end.size;
  record = {input_->unread().substr(0, used_), line_, {}};
  if (cut)
    record.fault = "record cut short";
  else if (end.broken)
    record.fault = "not valid JSON";
  return true;
}

JsonReader::JsonReader(InputBuffer& input, bool by_line, const std::vector<std::string>& headings,
                       std::string name)
    : scan_(input, by_line, std::move(name)), headings_(headings), cells_(headings.size()),
      filled_in_(headings.size(), 0) {
  for (std::size_t i = 0; i < headings_.size(); ++i) index_.emplace(headings_[i], i);
}

/// Records mostly repeat the order of their keys, so the guess is nearly always right.
std::size_t JsonReader::column_of(std::string_view name, std::size_t guess) {
  if (guess < headings_.size() && headings_[guess] == name) return guess;
  const auto found = index_.find(name);
  return found == index_.end() ? headings_.size() : found->second;
}

void JsonReader::fill(const std::vector<JsonRecord::Field>& fields) {
  std::fill(cells_.begin(), cells_.end(), std::string_view());
  std::size_t guess = 0;
  for (const auto& field : fields) {
    const std::size_t column = column_of(field.name, guess);
    guess = column + 1;
    if (column == headings_.size()) {
      const std::string key = as_utf8(field.name);
      if (late_.size() < k_late_keys_named &&
          std::find(late_.begin(), late_.end(), key) == late_.end()) {
        late_.push_back(key);
      }
      continue;
    }
    if (filled_in_[column] == records_) ++twice_;
    filled_in_[column] = records_;
    cells_[column] = field.text;
  }
}

bool JsonReader::next(Row& row) {
  JsonScan::Record found;
  if (!scan_.next(found)) return false;
  ++records_;
  std::string_view fault = found.fault;
  if (fault.empty() && !record_.parse(found.text)) fault = "not valid JSON";
  if (fault.empty()) {
    fill(record_.fields());
    row = {found.line, cells_, {}, found.text.data()};
    return true;
  }
  cells_[0] = found.text;
  row = {found.line, {cells_.data(), 1}, fault, found.text.data()};
  return true;
}

std::vector<std::string> JsonReader::notes() const {
  std::vector<std::string> notes;
  for (const std::string& key : late_) {
    notes.push_back(
        fmt::format("\"{}\" appears only behind the first records and is not used", key));
  }
  if (twice_ > 0)
    notes.push_back(fmt::format("{} {} twice in a record: the last value is used", twice_,
                                twice_ == 1 ? "key stands" : "keys stand"));
  return notes;
}

namespace {

struct JsonSample {
  std::vector<std::vector<std::pair<std::size_t, std::string>>> rows; ///< heading, text
  std::size_t first_line = 0; ///< of the first record, good or bad; 0 when there is none
};

JsonSample gather(JsonScan& scan, std::vector<std::string>& headings) {
  JsonSample sample;
  std::unordered_map<std::string, std::size_t> index;
  JsonScan::Record found;
  JsonRecord record;
  while (sample.rows.size() < k_records_sampled && scan.next(found)) {
    if (sample.first_line == 0) sample.first_line = found.line;
    if (!found.fault.empty() || !record.parse(found.text)) continue;
    sample.rows.emplace_back();
    for (const auto& field : record.fields()) {
      const auto [place, fresh] = index.emplace(std::string(field.name), headings.size());
      if (fresh) headings.emplace_back(field.name);
      sample.rows.back().emplace_back(place->second, std::string(field.text));
    }
  }
  return sample;
}

} // namespace

Result<TableHead> find_json_head(std::string_view sample, bool complete, bool by_line,
                                 const std::string& name) {
  MemorySource source(sample);
  InputBuffer input(source, k_sample_block_bytes);
  JsonScan scan(input, by_line, name);
  TableHead head;
  head.name = name;
  const JsonSample seen = gather(scan, head.headings);
  if (head.headings.empty()) {
    const bool none = complete && seen.first_line == 0;
    return input_error({name, seen.first_line, 0},
                       none ? "the log has no records"
                            : "this looks like JSON, but no record of it can be read",
                       {},
                       "coolband reads JSON as an array of objects, one object a line, or one "
                       "object of arrays");
  }
  head.width = head.headings.size();
  NumberStyleGuess guess;
  for (const auto& row : seen.rows) {
    head.sample.emplace_back(head.width);
    for (const auto& [column, text] : row) {
      guess.see(text);
      head.sample.back()[column] = text;
    }
  }
  head.numbers = guess.style(true);
  return head;
}

} // namespace coolband
