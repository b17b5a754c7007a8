// SPDX-License-Identifier: Apache-2.0
// Small readers that each take a field off the front of a text, for times and dates.
#pragma once

#include <cstddef>
#include <string_view>

namespace coolband {

inline bool is_decimal_digit(char c) { return c >= '0' && c <= '9'; }

inline bool is_ascii_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

inline char ascii_lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

/// `least` to `most` digits (9 at most); one digit more is a failure.
inline bool take_digits(std::string_view& text, std::size_t least, std::size_t most, int& number) {
  std::size_t count = 0;
  int value = 0;
  while (count < text.size() && count < most && is_decimal_digit(text[count])) {
    value = value * 10 + (text[count++] - '0');
  }
  const bool more = count < text.size() && is_decimal_digit(text[count]);
  if (count < least || more) return false;
  text.remove_prefix(count);
  number = value;
  return true;
}

inline bool take_char(std::string_view& text, char c) {
  if (text.empty() || text[0] != c) return false;
  text.remove_prefix(1);
  return true;
}

/// `word` in small ASCII letters; the text may have large ones.
inline bool take_word(std::string_view& text, std::string_view word) {
  if (text.size() < word.size()) return false;
  for (std::size_t i = 0; i < word.size(); ++i) {
    if (ascii_lower(text[i]) != word[i]) return false;
  }
  text.remove_prefix(word.size());
  return true;
}

/// Blanks, tabs, and the no-break and thin blanks that some locales put before AM and PM.
void skip_blanks(std::string_view& text);

/// ".521" or ",521"; without digits behind the mark it is no fraction.
bool take_fraction(std::string_view& text, double& fraction);

} // namespace coolband
