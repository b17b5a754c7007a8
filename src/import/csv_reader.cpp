// SPDX-License-Identifier: Apache-2.0
// Two roads: records without quotes are cut at the separators found by the scan; a record with a
// quoted cell is first delimited, then its quotes are undone in place.
#include "import/csv_reader.hpp"

#include "import/input_error.hpp"

#include <algorithm>
#include <cstring>

namespace coolband {

namespace {

bool all_blank(const char* from, const char* to) {
  return std::all_of(from, to, [](char c) { return c == ' ' || c == '\t'; });
}

// The window is filled again before it holds less than this.
constexpr std::size_t k_refill_bytes = std::size_t{32} * 1024;
constexpr std::size_t k_longest_pause = 1024;

/// Length of the line end at `at` (0, 1 or 2).
std::size_t line_end(std::string_view text, std::size_t at) {
  if (at >= text.size()) return 0;
  if (text[at] == '\n') return 1;
  if (text[at] != '\r') return 0;
  return at + 1 < text.size() && text[at + 1] == '\n' ? 2 : 1;
}

struct QuotedEnd {
  std::size_t at = 0;     ///< of the line end, or the size of the text
  std::size_t lines = 0;  ///< line ends inside quotes
  bool in_quotes = false; ///< a quote is still open
};

/// The end of a record that has quotes; a quote counts only at the start of a cell.
QuotedEnd find_quoted_end(std::string_view text, char delimiter) {
  QuotedEnd end;
  std::size_t cell = 0;
  for (; end.at < text.size(); ++end.at) {
    const char c = text[end.at];
    const char after = end.at + 1 < text.size() ? text[end.at + 1] : '\0';
    if (c == '"' && end.in_quotes) {
      if (after == '"')
        ++end.at;
      else
        end.in_quotes = false;
    } else if (c == '"' && all_blank(text.data() + cell, text.data() + end.at)) {
      end.in_quotes = true;
    } else if (end.in_quotes) {
      end.lines += c == '\n' || (c == '\r' && after != '\n') ? 1U : 0U;
    } else if (c == delimiter) {
      cell = end.at + 1;
    } else if (c == '\n' || c == '\r') {
      break;
    }
  }
  return end;
}

} // namespace

CsvReader::CsvReader(InputBuffer& input, char delimiter, std::string name)
    : input_(&input), scan_(delimiter), plain_(delimiter), delimiter_(delimiter),
      name_(std::move(name)), cells_(64) {}

bool CsvReader::is_comment(std::string_view text) const {
  if (text.empty()) return false;
  if (text[0] == '#') return true;
  if (text[0] == ';') return delimiter_ != ';';
  return text.size() > 1 && text[0] == '/' && text[1] == '/';
}

/// What a look at the log has read already may be more than the limit of one record.
void CsvReader::start() {
  started_ = true;
  if (input_->unread().empty()) {
    load();
  } else {
    const std::string_view text = input_->unread();
    scan_.start(text.data(), text.data() + text.size());
  }
}

/// Reads on and starts again at the record's first byte; false when there is nothing more.
bool CsvReader::load() {
  if (input_->unread().size() > k_record_limit) {
    error_ = input_error({name_, line_, 0}, "a record of this log is longer than 1 MiB", {},
                         "check that this is a log of text lines");
    return false;
  }
  const bool got = input_->more();
  if (!got && input_->error()) error_ = input_->error();
  restart_scan();
  return got;
}

void CsvReader::restart_scan() {
  const std::string_view text = input_->unread();
  scan_.start(text.data(), text.data() + text.size());
}

/// Where records are odd one after the other, trying each of them twice would only cost time.
bool CsvReader::next_batch(PlainBatch& batch) {
  if (error_ || !started_ || pause_ > 0) {
    pause_ -= pause_ > 0 ? 1U : 0U;
    return false;
  }
  if (input_->unread().size() < k_refill_bytes && !input_->ended()) load();
  if (error_) return false;
  const std::size_t used = plain_.read(input_->unread(), batch);
  if (batch.rows == 0) {
    if (batch.stopped) {
      pause_ = next_pause_;
      next_pause_ = std::min(next_pause_ * 2, k_longest_pause);
    }
    return false;
  }
  next_pause_ = 1;
  batch.first_line = line_;
  finish(used, batch.rows);
  restart_scan();
  return true;
}

void CsvReader::finish(std::size_t size, std::size_t lines) {
  input_->consume(size);
  line_ += lines;
}

bool CsvReader::next(Row& row) {
  if (!started_) start();
  while (!error_) {
    count_ = 0;
    fault_ = {};
    record_line_ = line_;
    if (skip_comment()) continue;
    Outcome outcome = scan_plain();
    if (outcome == Outcome::quoted) outcome = scan_quoted();
    if (outcome == Outcome::blank) continue;
    if (outcome == Outcome::need_more) {
      load();
      if (!error_ && input_->ended() && input_->unread().empty()) return false;
      continue;
    }
    row = {record_line_, {cells_.data(), count_}, fault_, record_};
    return true;
  }
  return false;
}

bool CsvReader::skip_comment() {
  std::string_view text = input_->unread();
  while (text.size() < 2 && !input_->ended() && !error_) {
    load();
    text = input_->unread();
  }
  if (!is_comment(text)) return false;
  std::size_t end = text.find_first_of("\r\n");
  while ((end == std::string_view::npos || (text[end] == '\r' && end + 1 == text.size())) &&
         load()) {
    text = input_->unread();
    end = text.find_first_of("\r\n");
  }
  if (error_) return true;
  text = input_->unread();
  end = std::min(end, text.size());
  finish(end + line_end(text, end), 1);
  restart_scan();
  return true;
}

CsvReader::Outcome CsvReader::scan_plain() {
  const std::string_view text = input_->unread();
  const char* const begin = text.data();
  const char* const end = begin + text.size();
  const char* cell = begin;
  record_ = begin;
  for (;;) {
    const char* at = scan_.next();
    if (at == end && (!input_->ended() || text.empty())) return Outcome::need_more;
    if (at != end && *at == delimiter_) {
      add(cell, at);
      cell = at + 1;
      continue;
    }
    if (at != end && *at == '"') {
      if (all_blank(cell, at)) return Outcome::quoted;
      continue;
    }
    std::size_t ending = at == end ? 0U : 1U;
    if (at != end && *at == '\r') {
      if (at + 1 == end && !input_->ended()) return Outcome::need_more;
      if (at + 1 != end && at[1] == '\n') {
        scan_.next();
        ending = 2;
      }
    }
    add(cell, at);
    finish(static_cast<std::size_t>(at - begin) + ending, 1);
    return count_ == 1 && all_blank(begin, at) ? Outcome::blank : Outcome::record;
  }
}

CsvReader::Outcome CsvReader::scan_quoted() {
  const std::string_view text = input_->unread();
  count_ = 0;
  QuotedEnd end = find_quoted_end(text, delimiter_);
  // One byte more may turn a closing quote into an escaped one, or CR into CRLF.
  const bool cut_short = end.at + 1 >= text.size() && !input_->ended();
  if (cut_short && text.size() <= k_record_limit) return Outcome::need_more;
  if (end.in_quotes || cut_short) {
    const std::size_t line = text.find_first_of("\r\n");
    // Not even the line ends within the limit, which `load` will say.
    if (line == std::string_view::npos && !input_->ended()) return Outcome::need_more;
    fault_ = "quote not closed";
    end = {std::min(line, text.size()), 0, true};
    add(text.data(), text.data() + end.at);
  } else {
    split_quoted(end.at);
  }
  record_ = text.data();
  finish(end.at + line_end(text, end.at), end.lines + 1);
  restart_scan();
  return Outcome::record;
}

void CsvReader::split_quoted(std::size_t size) {
  char* at = input_->unread_data();
  char* const end = at + size;
  for (;;) {
    char* cell = at;
    while (cell < end && (*cell == ' ' || *cell == '\t') && *cell != delimiter_) ++cell;
    if (cell == end || *cell != '"') {
      char* stop = std::find(at, end, delimiter_);
      add(at, stop);
      at = stop;
    } else {
      char* out = ++cell;
      char* from = cell;
      for (; from < end; ++from) {
        if (*from == '"' && (from + 1 >= end || from[1] != '"')) break;
        if (*from == '"') ++from;
        *out++ = *from;
      }
      at = from < end ? from + 1 : end;
      // Anything between the closing quote and the delimiter is kept, as a person would read it.
      while (at < end && *at != delimiter_) *out++ = *at++;
      add(cell, out);
    }
    if (at == end) return;
    ++at;
  }
}

} // namespace coolband
