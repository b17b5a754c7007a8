// SPDX-License-Identifier: Apache-2.0
// A slow, obvious reader and the real one agree on random tables, through any block size.
#include "import/import_source.hpp"
#include "support/drip_source.hpp"
#include "support/random.hpp"
#include "unit/import/import_helpers.hpp"

#include <charconv>
#include <cstdint>
#include <limits>
#include <optional>

using namespace coolband;
using namespace coolband::test;
using coolband::testing::Random;

namespace {

constexpr float k_missing = std::numeric_limits<float>::quiet_NaN();

/// Cells of a text, character by character: RFC 4180 section 2, rules 1 to 7.
std::vector<std::vector<std::string>> cells_of(const std::string& text, char delimiter) {
  std::vector<std::vector<std::string>> records(1);
  std::string cell;
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted && c == '"' && i + 1 < text.size() && text[i + 1] == '"') {
      cell += '"';
      ++i;
    } else if (c == '"' && (quoted || cell.empty())) {
      quoted = !quoted;
    } else if (!quoted && c == delimiter) {
      records.back().push_back(std::move(cell));
      cell.clear();
    } else if (!quoted && c == '\n') {
      records.back().push_back(std::move(cell));
      cell.clear();
      records.emplace_back();
    } else if (quoted || c != '\r') {
      cell += c;
    }
  }
  records.pop_back();
  return records;
}

std::optional<double> plain_number(std::string text, bool comma) {
  if (comma) std::replace(text.begin(), text.end(), ',', '.');
  double value = 0.0;
  const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (text.empty() || code != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

struct Expected {
  std::vector<double> time_s;
  std::vector<float> coolant;
  std::vector<float> load;
  std::size_t set_aside = 0;
};

/// Time in the first column, coolant in the third, load in the last; others are of no use.
Expected read_slowly(const std::string& text, char delimiter, bool comma) {
  Expected expected;
  const auto records = cells_of(text, delimiter);
  double first = 0.0;
  for (std::size_t r = 1; r < records.size(); ++r) {
    const auto& cells = records[r];
    if (cells.size() == 1 && cells[0].empty()) continue;
    const auto time = plain_number(cells[0], comma);
    const bool fits = cells.size() == records[0].size();
    const auto coolant = fits ? plain_number(cells[2], comma) : std::nullopt;
    const bool readable = fits && time && (coolant || cells[2].empty());
    if (readable && expected.time_s.empty()) first = *time;
    if (!readable || (!expected.time_s.empty() && *time - first < expected.time_s.back())) {
      ++expected.set_aside;
      continue;
    }
    const auto load = plain_number(cells.back(), comma);
    expected.time_s.push_back(*time - first);
    expected.coolant.push_back(coolant ? static_cast<float>(*coolant) : k_missing);
    expected.load.push_back(load ? static_cast<float>(*load) : k_missing);
  }
  return expected;
}

struct Table {
  std::string text;
  char delimiter = ',';
  bool comma = false;
};

std::string number_text(Random& random, double low, double high, bool comma) {
  const int decimals = static_cast<int>(random.below(4));
  std::string text = std::to_string(random.between(low, high));
  text.resize(text.size() - 6 + static_cast<std::size_t>(decimals));
  if (decimals == 0) text.pop_back();
  if (comma) std::replace(text.begin(), text.end(), '.', ',');
  return text;
}

/// Mostly clean rows, with some of every oddity that a log can have.
Table made_table(Random& random) {
  Table table;
  table.comma = random.below(3) == 0;
  table.delimiter = table.comma ? ';' : ",;\t|"[random.below(4)];
  const std::string d(1, table.delimiter);
  const std::string line_end = random.below(2) == 0 ? "\n" : "\r\n";
  const std::size_t odd_in = std::size_t{1} << random.below(9);
  table.text = "time [s]" + d + "remark" + d + "coolant [degC]" + d + "load [%]" + line_end;
  const std::size_t rows = 200 + random.below(2000);
  for (std::size_t i = 0; i < rows; ++i) {
    std::string time = std::to_string(i);
    std::string remark = "ok";
    std::string coolant = number_text(random, 60.0, 110.0, table.comma);
    std::string load = number_text(random, 0.0, 100.0, table.comma);
    std::string more;
    if (random.below(odd_in) == 0) {
      switch (random.below(10)) {
      case 0: coolant = ""; break;
      case 1: coolant = "warm"; break;
      case 2: load = ""; break;
      case 3: load = "?"; break;
      case 4: time = "x"; break;
      case 5: time = std::to_string(i > 40 ? i - 20 : i); break;
      case 6: remark = "\"a \"\"b\"\"" + d + "\n c\""; break;
      case 7: more = d + "7"; break;
      case 8: coolant = "\"" + coolant + "\""; break;
      default: coolant = number_text(random, -40.0, -1.0, table.comma); break;
      }
    }
    table.text += time + d + remark + d + coolant + d + load + more + line_end;
    if (random.below(200) == 0) table.text += line_end;
  }
  return table;
}

std::size_t aside(const Recording& recording) {
  std::size_t count = 0;
  for (const SetAside& entry : recording.how.set_aside) count += entry.count;
  return count;
}

std::size_t differences(const Column& column, const std::vector<float>& expected) {
  std::size_t count = column.size() == expected.size() ? 0U : 1U;
  for (std::size_t i = 0; i < std::min(column.size(), expected.size()); ++i) {
    const bool both_missing = std::isnan(column[i]) && std::isnan(expected[i]);
    count += column[i] == expected[i] || both_missing ? 0U : 1U;
  }
  return count;
}

} // namespace

TEST_CASE("the slow reader and the real one agree on random tables through any block size") {
  Random random(2026);
  for (int trial = 0; trial < 150; ++trial) {
    const Table table = made_table(random);
    const Expected expected = read_slowly(table.text, table.delimiter, table.comma);
    if (expected.set_aside * 2 > expected.time_s.size()) continue;
    const std::size_t block = 1 + random.below(trial % 3 == 0 ? 9 : 90000);
    coolband::testing::DripSource source(table.text, block);
    const auto recording = import_source(source, "log", {});
    CAPTURE(trial);
    CAPTURE(table.text.substr(0, 400));
    REQUIRE(recording.ok());
    CHECK(recording->time_s == expected.time_s);
    CHECK(differences(recording->column(Role::coolant), expected.coolant) == 0);
    CHECK(differences(recording->column(Role::load), expected.load) == 0);
    CHECK(aside(*recording) == expected.set_aside);
  }
}

TEST_CASE("every kept row knows the line that it stands in") {
  Random random(99);
  for (int trial = 0; trial < 20; ++trial) {
    std::string text = "time,coolant\n";
    std::vector<std::size_t> lines;
    std::size_t line = 2;
    for (int i = 0; i < 3000; ++i, ++line) {
      const bool odd = random.below(40) == 0;
      text += odd ? "x,1\n" : std::to_string(i) + ",80.5\n";
      if (!odd) lines.push_back(line);
      if (random.below(60) == 0) {
        text += "# remark\n\n";
        line += 2;
      }
    }
    const Recording recording = read(text);
    REQUIRE(recording.size() == lines.size());
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < lines.size(); ++i)
      wrong += recording.row_map.at(i).line == lines[i] ? 0U : 1U;
    CHECK(wrong == 0);
  }
}
