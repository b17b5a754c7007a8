// SPDX-License-Identifier: Apache-2.0
// Looks at the first records only; each candidate delimiter reads them with the real reader.
#include "import/csv_layout.hpp"

#include "coolband/core/units.hpp"
#include "import/csv_reader.hpp"
#include "import/heading.hpp"
#include "import/input_error.hpp"
#include "import/time_form.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::size_t k_records_counted = 100;
constexpr std::size_t k_records_before_headings = 60;

struct Record {
  std::vector<std::string> cells;
  std::size_t line = 0;
};

struct Records {
  std::vector<Record> list;
  std::vector<std::size_t> places; ///< 1-based byte of each cell in its line, record after record

  [[nodiscard]] std::vector<std::size_t> places_of(std::size_t record) const {
    auto first = places.begin();
    for (std::size_t i = 0; i < record; ++i)
      first += static_cast<std::ptrdiff_t>(list[i].cells.size());
    return {first, first + static_cast<std::ptrdiff_t>(list[record].cells.size())};
  }
};

Records read_records(std::string_view sample, bool complete, char delimiter, std::size_t most) {
  MemorySource source(sample);
  InputBuffer input(source, k_sample_block_bytes);
  CsvReader reader(input, delimiter, {});
  Records records;
  records.list.reserve(most);
  Row row;
  while (records.list.size() < most && reader.next(row)) {
    Record& record = records.list.emplace_back();
    record.line = row.line;
    record.cells.reserve(row.cells.size());
    for (const std::string_view cell : row.cells) {
      record.cells.emplace_back(cell);
      records.places.push_back(static_cast<std::size_t>(cell.data() - row.begin) + 1);
    }
  }
  if (!complete && records.list.size() > 1 && records.list.size() < most) records.list.pop_back();
  return records;
}

struct DelimiterVote {
  char delimiter = 0;
  std::size_t fields = 1; ///< the most frequent number of fields
  std::size_t votes = 0;  ///< records that have it
  std::size_t records = 0;
};

DelimiterVote vote_for(std::string_view sample, bool complete, char delimiter) {
  MemorySource source(sample);
  InputBuffer input(source, k_sample_block_bytes);
  CsvReader reader(input, delimiter, {});
  std::map<std::size_t, std::size_t> counts;
  DelimiterVote vote{delimiter, 1, 0, 0};
  Row row;
  while (vote.records < k_records_counted && reader.next(row)) {
    ++vote.records;
    ++counts[row.cells.size()];
  }
  // A sample may end inside a record: that one has no say.
  if (!complete && vote.records < k_records_counted && vote.records > 1) --counts[row.cells.size()];
  for (const auto& [fields, records] : counts) {
    if (fields >= 2 && records > vote.votes) {
      vote.fields = fields;
      vote.votes = records;
    }
  }
  return vote;
}

/// The most regular split wins; of equals tab, semicolon and pipe before comma, which may be
/// the decimal mark.
char find_delimiter(std::string_view sample, bool complete) {
  DelimiterVote best;
  for (const char delimiter : {'\t', ';', '|', ','}) {
    if (sample.find(delimiter) == std::string_view::npos) continue;
    const DelimiterVote vote = vote_for(sample, complete, delimiter);
    if (vote.fields >= 2 &&
        vote.votes * std::max<std::size_t>(best.records, 1) > best.votes * vote.records) {
      best = vote;
    }
  }
  return best.delimiter;
}

/// "sep=;", as spreadsheets write it.
char stated_delimiter(std::string_view sample) {
  if (sample.size() < 5 || !same_text(sample.substr(0, 4), "sep=")) return 0;
  const std::size_t end = std::min(sample.find_first_of("\r\n"), sample.size());
  return end == 5 ? sample[4] : '\0';
}

bool is_number_or_time(std::string_view cell) {
  cell = trimmed(cell);
  if (cell.empty() || is_missing_mark(cell)) return true;
  const char c = cell[0];
  return (c >= '0' && c <= '9') || ((c == '-' || c == '+' || c == '.') && cell.size() > 1);
}

bool is_all_numbers(const std::vector<std::string>& cells) {
  return std::all_of(cells.begin(), cells.end(), is_number_or_time);
}

/// How many cells of a record mean something as headings.
std::size_t score_of(const std::vector<std::string>& cells, const ImportOptions& options) {
  std::size_t score = 0;
  for (const std::string& cell : cells) {
    const bool chosen =
        std::any_of(options.columns.begin(), options.columns.end(),
                    [&](const auto& c) { return same_text(c.heading, as_utf8(cell)); });
    if (!is_number_or_time(cell) && (chosen || read_heading(cell, vocabulary()))) ++score;
  }
  return score;
}

std::size_t usual_width(const std::vector<Record>& records) {
  std::map<std::size_t, std::size_t> counts;
  for (const Record& record : records) ++counts[record.cells.size()];
  std::size_t width = 1;
  std::size_t votes = 0;
  for (const auto& [fields, count] : counts) {
    if (fields >= 2 && count > votes) {
      width = fields;
      votes = count;
    }
  }
  return width;
}

/// The heading row: the one with most known headings among the first; else the first row of
/// usual width, unless it is all numbers. `records.size()` when there is none.
std::size_t find_heading_row(const std::vector<Record>& records, const ImportOptions& options) {
  const std::size_t width = usual_width(records);
  std::size_t best = records.size();
  std::size_t best_score = 0;
  for (std::size_t i = 0; i < std::min(records.size(), k_records_before_headings); ++i) {
    const std::size_t score = score_of(records[i].cells, options);
    if (score > best_score) {
      best = i;
      best_score = score;
    }
    if (score >= 2 && records[i].cells.size() + 1 >= width) break;
  }
  if (best_score > 0) return best;
  for (std::size_t i = 0; i < records.size(); ++i) {
    if (records[i].cells.size() + 1 < width) continue;
    return is_all_numbers(records[i].cells) ? records.size() : i;
  }
  return records.size();
}

std::string_view line_at(std::string_view text, std::size_t line) {
  for (std::size_t n = 1; n < line; ++n) {
    const std::size_t end = text.find_first_of("\r\n");
    if (end == std::string_view::npos) return {};
    text.remove_prefix(text.substr(end).starts_with("\r\n") ? end + 2 : end + 1);
  }
  return text.substr(0, std::min(text.find_first_of("\r\n"), text.size()));
}

std::string_view without_brackets(std::string_view cell) {
  cell = trimmed(cell);
  if (cell.size() < 2) return cell;
  const bool bracketed =
      (cell.front() == '[' && cell.back() == ']') || (cell.front() == '(' && cell.back() == ')');
  return bracketed ? cell.substr(1, cell.size() - 2) : cell;
}

/// A row of units: every cell is a unit or empty, and at least two are units.
bool is_units_row(const std::vector<std::string>& cells) {
  std::size_t units = 0;
  for (const std::string& cell : cells) {
    const std::string_view text = without_brackets(cell);
    if (text.empty() || text == "-" || same_text(text, "hh:mm:ss") || same_text(text, "text"))
      continue;
    if (!unit_named(text) && !read_time_form(text)) return false;
    ++units;
  }
  return units >= 2;
}

/// "# time,coolant" above rows of numbers: the headings behind a comment mark.
bool take_commented_headings(std::string_view sample, const Record& first,
                             const ImportOptions& options, TableHead& head) {
  for (std::size_t line = first.line; line-- > 1;) {
    std::string_view text = line_at(sample, line);
    if (!text.starts_with("#") && !text.starts_with("//")) continue;
    const std::size_t mark = std::min(text.find_first_not_of("#/ "), text.size());
    const std::string bare = std::string(mark, ' ') + std::string(text.substr(mark));
    const auto records = read_records(bare, true, head.delimiter, 1);
    if (records.list.empty()) continue;
    const auto& cells = records.list[0].cells;
    if (cells.size() < 2 || score_of(cells, options) < 2) continue;
    for (const std::string& cell : cells) head.headings.push_back(as_utf8(trimmed(cell)));
    head.byte_columns = records.places_of(0);
    head.byte_columns[0] = mark + 1;
    head.line = line;
    head.last_head_line = line;
    head.text = as_utf8(text);
    return true;
  }
  return false;
}

void take_headings(std::string_view sample, const Records& records, std::size_t row,
                   TableHead& head) {
  const Record& record = records.list[row];
  for (const std::string& cell : record.cells) head.headings.push_back(as_utf8(trimmed(cell)));
  head.byte_columns = records.places_of(row);
  head.line = record.line;
  head.last_head_line = record.line;
  head.text = as_utf8(line_at(sample, record.line));
}

void take_sample(std::vector<Record> records, std::size_t from, TableHead& head) {
  NumberStyleGuess guess;
  head.sample.reserve(records.size());
  for (std::size_t i = from; i < records.size(); ++i) {
    for (const std::string& cell : records[i].cells) guess.see(cell);
    head.sample.push_back(std::move(records[i].cells));
  }
  head.numbers = guess.style(head.delimiter == ',');
}

/// Finds the headings and the units; returns the first record that is data.
std::size_t take_head(std::string_view sample, const Records& all, const ImportOptions& options,
                      TableHead& head) {
  const std::vector<Record>& records = all.list;
  std::size_t row = find_heading_row(records, options);
  if (row == records.size()) {
    if (!take_commented_headings(sample, records[0], options, head)) {
      head.text = as_utf8(line_at(sample, records[0].line));
      head.record_line = records[0].line;
    }
    return 0;
  }
  take_headings(sample, all, row, head);
  if (row > 0) {
    head.notes.push_back(
        fmt::format("{} {} before the headings skipped", row, row == 1 ? "line" : "lines"));
  }
  ++row;
  while (!head.headings.empty() && head.headings.back().empty()) head.headings.pop_back();
  if (row == records.size() || !is_units_row(records[row].cells)) return row;
  for (const std::string& cell : records[row].cells) {
    head.units.emplace_back(as_utf8(without_brackets(cell)));
  }
  head.last_head_line = records[row].line;
  return row + 1;
}

Error no_table(const std::string& name, std::string_view sample) {
  return input_error(
      {name, 1, 0},
      "this is not a table: no comma, semicolon, tab or pipe splits its lines into columns",
      as_utf8(line_at(sample, 1)),
      "coolband reads delimited text with a row of headings, and JSON; a log needs a column of "
      "times "
      "and one of coolant at least");
}

} // namespace

Result<TableHead> find_csv_layout(std::string_view sample, bool complete, const std::string& name,
                                  const ImportOptions& options) {
  TableHead head;
  head.name = name;
  const char stated = stated_delimiter(sample);
  head.delimiter = stated != 0 ? stated : find_delimiter(sample, complete);
  if (head.delimiter == 0) return no_table(name, sample);
  auto records = read_records(sample, complete, head.delimiter, k_records_sampled);
  if (stated != 0 && !records.list.empty()) {
    const auto cells = static_cast<std::ptrdiff_t>(records.list[0].cells.size());
    records.places.erase(records.places.begin(), records.places.begin() + cells);
    records.list.erase(records.list.begin());
    head.last_head_line = 1;
  }
  if (records.list.empty()) return no_table(name, sample);
  const std::size_t row = take_head(sample, records, options, head);
  head.width = head.headings.empty() ? usual_width(records.list) : head.headings.size();
  take_sample(std::move(records.list), row, head);
  return head;
}

} // namespace coolband
