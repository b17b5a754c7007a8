// SPDX-License-Identifier: Apache-2.0
// Quoting for a POSIX shell.
#include "core/shell_words.hpp"

#include <algorithm>

namespace coolband {

namespace {

/// Letters and digits of ASCII only: what counts as a blank beyond it depends on the locale.
bool stands_for_itself(char c) {
  constexpr std::string_view k_others = "@%+:,./-_";
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
         k_others.find(c) != std::string_view::npos;
}

} // namespace

std::string shell_quoted(std::string_view text) {
  if (!text.empty() && std::all_of(text.begin(), text.end(), stands_for_itself))
    return std::string(text);
  std::string word = "'";
  for (const char c : text) {
    // Nothing is special between single quotes, so that one itself can only stand outside of them.
    if (c == '\'')
      word += R"('\'')";
    else
      word += c;
  }
  return word + "'";
}

} // namespace coolband
