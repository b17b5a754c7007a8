// SPDX-License-Identifier: Apache-2.0
// Byte by byte.
#include "fleet/percent_code.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

bool is_letter_or_digit(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

} // namespace

std::string percent_encoded(std::string_view text, std::string_view plain) {
  std::string code;
  for (const char c : text) {
    if (is_letter_or_digit(c) || plain.find(c) != std::string_view::npos)
      code += c;
    else
      code += fmt::format("%{:02X}", static_cast<unsigned char>(c));
  }
  return code;
}

} // namespace coolband
