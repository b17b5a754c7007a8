// SPDX-License-Identifier: Apache-2.0
// A line is a record, or brackets are counted; what stands between records is passed over, and
// what should not stand there is told.
#include "import/json_scan.hpp"

#include "import/input_error.hpp"
#include "import/json_borders.hpp"
#include "import/number_text.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::string_view k_invalid = "not valid JSON";
constexpr std::string_view k_cut_short = "record cut short";

bool is_between_records(char c) {
  return is_json_space(c) || c == '\x1E'; // RFC 7464
}

std::size_t line_ends(std::string_view text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

/// Whether what is out of place at `at` looks like the next record: an opener behind a comma or at
/// the start of a line.
bool begins_anew(std::string_view text, std::size_t at, char opener) {
  if (text[at] != opener) return false;
  while (at > 0 && is_between_records(text[at - 1]) && text[at - 1] != '\n') --at;
  return at > 0 && (text[at - 1] == ',' || text[at - 1] == '\n');
}

/// The end of a scrap of a record: the next record, or the end of the array.
std::size_t end_of_scrap(std::string_view text, char opener) {
  std::size_t depth = 0;
  std::size_t close = 1;
  for (; close < text.size(); ++close) {
    if (text[close] == ']' && depth == 0) break;
    if (text[close] == '[') ++depth;
    if (text[close] == ']') --depth;
  }
  const std::size_t end = std::min(find_next_record(text, opener), close);
  return end < text.size() ? end : std::string_view::npos;
}

} // namespace

JsonScan::JsonScan(InputBuffer& input, const JsonShape& shape, std::string name)
    : input_(&input), shape_(shape), name_(std::move(name)), opener_(shape.opener()),
      by_line_(shape.kind == JsonShape::Kind::lines) {
  while (input_->unread().size() < shape.begin && input_->more()) {
  }
  consume(std::min(shape.begin, input_->unread().size()));
}

bool JsonScan::too_long() {
  if (input_->unread().size() <= k_record_limit) return false;
  error_ = input_error({name_, line_, 0}, "a record of this log is longer than 1 MiB", {},
                       "check that this is a log of records");
  return true;
}

bool JsonScan::load() {
  if (too_long()) return false;
  const bool got = input_->more();
  if (!got && input_->error()) error_ = input_->error();
  return got;
}

void JsonScan::consume(std::size_t size) {
  line_ += line_ends(input_->unread().substr(0, size));
  input_->consume(size);
}

void JsonScan::take_counted(std::size_t size) {
  take(size, line_ends(input_->unread().substr(0, size)));
}

void JsonScan::step() {
  input_->consume(used_);
  line_ += used_lines_;
  used_ = 0;
  used_lines_ = 0;
  if (!by_line_ && !closed_) skip_separators();
}

bool JsonScan::next(Record& record) {
  if (closed_ || error_) return false;
  return by_line_ ? next_line(record) : next_in_sequence(record);
}

bool JsonScan::next_line(Record& record) {
  for (;;) {
    std::size_t end = input_->unread().find('\n');
    while (end == std::string_view::npos && load()) end = input_->unread().find('\n');
    if (error_) return false;
    const std::string_view text = input_->unread();
    if (text.empty()) return false;
    const bool unended = end == std::string_view::npos;
    const std::string_view whole = text.substr(0, unended ? end : end + 1);
    const std::string_view line = trimmed(whole.substr(0, whole.size() - (unended ? 0 : 1)));
    if (line.empty()) {
      consume(whole.size());
      continue;
    }
    take(whole.size(), unended ? 0 : 1);
    record = {line, whole, line_, {}, unended};
    if (line[0] != opener_) record.fault = shape_.rows ? "not a JSON array" : "not a JSON object";
    return true;
  }
}

void JsonScan::skip_separators() {
  const std::string_view text = input_->unread();
  std::size_t at = 0;
  for (; at < text.size() && (text[at] == ',' || is_between_records(text[at])); ++at) {
    line_ += text[at] == '\n' ? 1U : 0U;
    commas_ += text[at] == ',' ? 1U : 0U;
  }
  input_->consume(at);
}

/// False at the end of the last array or of the input.
bool JsonScan::skip_to_record() {
  for (;;) {
    skip_separators();
    const std::string_view text = input_->unread();
    if (text.empty()) {
      if (!load()) return false;
    } else if (text[0] == ']' && shape_.in_array) {
      close();
      if (closed_) return false;
    } else {
      return true;
    }
  }
}

/// Ends the array, unless another one follows it.
void JsonScan::close() {
  odd_commas_ += commas_ > 0 && !after_fault_ ? 1U : 0U;
  commas_ = 0;
  any_ = false;
  closed_ = true;
  input_->consume(1);
  look_behind();
}

void JsonScan::look_behind() {
  for (;;) {
    const std::string_view text = input_->unread();
    std::size_t at = 0;
    while (at < text.size() && (is_between_records(text[at]) ||
                                (shape_.wrapped && (text[at] == '}' || text[at] == ']')))) {
      ++at;
    }
    consume(at);
    if (at == text.size()) {
      if (!load()) return;
      continue;
    }
    if (!shape_.wrapped && text[at] == '[') {
      input_->consume(1);
      closed_ = false;
      ++arrays_;
    } else {
      left_behind_ = true;
    }
    return;
  }
}

bool JsonScan::next_in_sequence(Record& record) {
  if (!skip_to_record() || error_) return false;
  if (input_->unread()[0] != opener_) {
    take_junk(record);
    return !error_;
  }
  using State = RecordEnd::State;
  RecordEnd end = find_record_end(input_->unread());
  while (end.state == State::more_needed && input_->unread().size() <= k_record_limit && load()) {
    end = find_record_end(input_->unread());
  }
  if (error_) return false;
  const std::string_view text = input_->unread();
  if (end.state == State::whole) {
    take_counted(end.size);
    record = {text.substr(0, end.size), text.substr(0, end.size), line_, {}, false};
    return true;
  }
  const bool at_next = end.state == State::broken && begins_anew(text, end.size, opener_);
  record.fault = end.state == State::too_deep ? "nested too deeply" : k_invalid;
  return take_broken(record, at_next ? end.size : std::string_view::npos);
}

/// `limit`: the next record begins there at the latest.
bool JsonScan::take_broken(Record& record, std::size_t limit) {
  std::size_t end = std::min(find_next_record(input_->unread(), opener_), limit);
  while (end == std::string_view::npos && load()) {
    end = find_next_record(input_->unread(), opener_);
  }
  if (error_) return false;
  if (end == std::string_view::npos) {
    end = input_->unread().size();
    cut_ = true;
    if (record.fault == k_invalid) record.fault = k_cut_short;
  }
  const std::string_view text = input_->unread().substr(0, end);
  take_counted(end);
  after_fault_ = true;
  record = {text, text, line_, record.fault, false};
  return true;
}

/// What is no record: another value, which ends at a comma, or a scrap of a record.
void JsonScan::take_junk(Record& record) {
  const auto find_end = [&] {
    const std::string_view text = input_->unread();
    if (text[0] == '{' || text[0] == '[') {
      const RecordEnd end = find_record_end(text);
      if (end.state == RecordEnd::State::whole) return end.size;
      if (end.state == RecordEnd::State::more_needed && !input_->ended())
        return std::string_view::npos;
    }
    // With the separator among them the end is the same however much of the text is there yet.
    const std::size_t mark = text.find_first_of(",:{[]}\n\x1E", 1);
    if (mark < text.size() && text[mark] == ',') return mark;
    return end_of_scrap(text, opener_);
  };
  std::size_t end = find_end();
  while (end == std::string_view::npos && load()) end = find_end();
  if (error_) return;
  const std::string_view text = input_->unread().substr(0, end);
  take_counted(text.size());
  after_fault_ = true;
  record = {text, text, line_, shape_.rows ? "not a JSON array" : "not a JSON object", false};
}

std::vector<std::string> JsonScan::notes() const {
  std::vector<std::string> notes;
  if (odd_commas_ > 0) {
    notes.push_back(
        fmt::format("between records, {} missing or too many: passed over",
                    odd_commas_ == 1 ? "1 comma is" : fmt::format("{} commas are", odd_commas_)));
  }
  if (arrays_ > 1) {
    notes.push_back(
        fmt::format("{} arrays of records stand one behind the other: read as one log", arrays_));
  }
  if (shape_.in_array && !closed_ && !cut_)
    notes.push_back("the array of records is not closed: the log may be cut short");
  if (left_behind_ && !(shape_.wrapped && shape_.rest_known))
    notes.push_back("what stands behind the array of records is not used");
  return notes;
}

} // namespace coolband
