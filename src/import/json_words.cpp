// SPDX-License-Identifier: Apache-2.0
// Looks at each bare word once; what stands in quotes is left alone.
#include "import/json_words.hpp"

#include "import/number_text.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <string_view>

#include <fmt/core.h>

namespace coolband {

namespace {

bool is_not_finite(std::string_view word) {
  static constexpr auto words = std::to_array<std::string_view>(
      {"nan", "-nan", "inf", "-inf", "+inf", "infinity", "-infinity", "+infinity"});
  return std::any_of(words.begin(), words.end(), [&](auto w) { return same_text(word, w); });
}

/// Out of range towards infinity; a number that is too small reads as zero.
bool is_too_large(std::string_view word) {
  if (word.size() < 4 || word.find_first_not_of("+-.0123456789eE") != std::string_view::npos)
    return false;
  if (word.find("e-") != std::string_view::npos || word.find("E-") != std::string_view::npos)
    return false;
  double value = 0.0;
  const auto [end, code] = std::from_chars(word.data(), word.data() + word.size(), value);
  return code == std::errc::result_out_of_range && end == word.data() + word.size();
}

/// Behind the string that begins at `at`.
std::size_t end_of_string(std::string_view text, std::size_t at) {
  for (++at; at < text.size() && text[at] != '"'; ++at) {
    if (text[at] == '\\') ++at;
  }
  return at + 1;
}

void overwrite(std::span<char> word, bool missing) {
  std::fill(word.begin(), word.end(), missing ? ' ' : '#');
  word[0] = '"';
  word[missing ? 1 : word.size() - 1] = '"';
}

} // namespace

JsonWords mend_json_words(std::span<char> bytes) {
  const std::string_view text(bytes.data(), bytes.size());
  constexpr std::string_view marks = "{}[],: \t\r\n";
  JsonWords words;
  for (std::size_t at = 0; at < text.size();) {
    if (text[at] == '"') {
      at = end_of_string(text, at);
      continue;
    }
    if (marks.find(text[at]) != std::string_view::npos) {
      ++at;
      continue;
    }
    const std::size_t end = std::min(text.find_first_of("{}[],: \t\r\n\"", at), text.size());
    const std::string_view word = text.substr(at, end - at);
    const bool missing = is_not_finite(word);
    if (missing || is_too_large(word)) {
      overwrite(bytes.subspan(at, word.size()), missing);
      ++(missing ? words.missing : words.too_large);
    }
    at = end;
  }
  return words;
}

std::string json_words_note(std::size_t missing) {
  return fmt::format("{} {} written NaN or Infinity, which JSON does not have: read as missing",
                     missing, missing == 1 ? "value is" : "values are");
}

} // namespace coolband
