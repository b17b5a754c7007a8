// SPDX-License-Identifier: Apache-2.0
// By the vocabulary; rows of data are passed over at their first character.
#include "import/live_headings.hpp"

#include "import/heading.hpp"
#include "import/number_text.hpp"
#include "import/vocabulary.hpp"

#include <algorithm>

namespace coolband {

namespace {

constexpr std::string_view k_delimiters = ",;\t|";

char most_frequent_delimiter(std::string_view line) {
  const auto count = [line](char c) { return std::count(line.begin(), line.end(), c); };
  return *std::max_element(k_delimiters.begin(), k_delimiters.end(),
                           [&](char a, char b) { return count(a) < count(b); });
}

bool is_of_time(const HeadingReading& reading) {
  return reading.sense.meaning == Meaning::date ||
         (reading.sense.meaning == Meaning::role && reading.sense.role == Role::time);
}

std::string_view without_quotes(std::string_view cell) {
  cell = trimmed(cell);
  const bool quoted = cell.size() > 1 && cell.front() == '"' && cell.back() == '"';
  return quoted ? cell.substr(1, cell.size() - 2) : cell;
}

} // namespace

bool looks_like_headings(std::string_view line) {
  line = trimmed(line);
  constexpr std::string_view k_of_data = "0123456789{[#-+.";
  const bool data = line.empty() || k_of_data.find(line[0]) != std::string_view::npos;
  if (data) return false;
  const char delimiter = most_frequent_delimiter(line);
  std::size_t known = 0;
  bool time = false;
  for (std::size_t begin = 0; begin <= line.size();) {
    const std::size_t end = std::min(line.find(delimiter, begin), line.size());
    const auto reading =
        read_heading(without_quotes(line.substr(begin, end - begin)), vocabulary());
    known += reading ? 1U : 0U;
    time = time || (reading && is_of_time(*reading));
    begin = end + 1;
  }
  return known >= 2 && time;
}

} // namespace coolband
