// SPDX-License-Identifier: Apache-2.0
// Turning an Error into the lines a person reads.
#include "coolband/core/error.hpp"

#include "core/code_point.hpp"

#include <algorithm>
#include <string_view>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::size_t k_excerpt_width = 72;

std::string place(const Origin& origin) {
  if (origin.file.empty()) return {};
  std::string text = origin.file == "-" ? "standard input" : origin.file;
  if (origin.line > 0) text += fmt::format(":{}", origin.line);
  if (origin.line > 0 && origin.column > 0) text += fmt::format(":{}", origin.column);
  return text + ": ";
}

/// The excerpt cut around the caret, and the caret's line; bytes of a UTF-8 tail are not counted.
std::string quoted(const Error& error) {
  std::string line = printable(error.excerpt);
  std::size_t caret = error.origin.column;
  std::size_t from = caret > k_excerpt_width ? caret - k_excerpt_width / 2 : 0;
  auto is_tail = [&](std::size_t i) {
    return (static_cast<unsigned char>(line[i]) & 0xC0U) == 0x80U;
  };
  while (from < line.size() && is_tail(from)) ++from;
  std::size_t to = std::min(line.size(), from + k_excerpt_width);
  while (to < line.size() && is_tail(to)) ++to;
  std::string text =
      "\n  " + line.substr(std::min(from, line.size()), to - std::min(from, line.size()));
  if (caret == 0 || caret <= from || caret > line.size() + 1) return text;
  std::size_t blanks = 0;
  for (std::size_t i = from; i + 1 < caret; ++i) blanks += is_tail(i) ? 0U : 1U;
  return text + "\n  " + std::string(blanks, ' ') + "^";
}

} // namespace

std::string printable(std::string text) {
  for (std::size_t i = 0; i < text.size();) {
    const CodePoint code = first_code_point(std::string_view(text).substr(i));
    if (text[i] == '\t')
      text[i] = ' ';
    else if (!code.sound || is_steering(code.value))
      text.replace(i, code.bytes, code.bytes, '?');
    i += code.bytes;
  }
  return text;
}

std::string describe(const Error& error) {
  std::string text = printable(place(error.origin) + error.message);
  if (!error.excerpt.empty()) text += quoted(error);
  if (!error.remedy.empty()) text += "\n  " + printable(error.remedy);
  return text;
}

} // namespace coolband
