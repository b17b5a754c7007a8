// SPDX-License-Identifier: Apache-2.0
// The field readers that are more than a line or two.
#include "import/text_fields.hpp"

namespace coolband {

namespace {

/// Finer than a double can tell beside the seconds of a day.
constexpr std::size_t k_fraction_digits = 15;

} // namespace

void skip_blanks(std::string_view& text) {
  while (!text.empty()) {
    if (text[0] == ' ' || text[0] == '\t') {
      text.remove_prefix(1);
    } else if (text.starts_with("\xC2\xA0")) {
      text.remove_prefix(2);
    } else if (text.starts_with("\xE2\x80\xAF") || text.starts_with("\xE2\x80\x89")) {
      text.remove_prefix(3);
    } else {
      return;
    }
  }
}

bool take_fraction(std::string_view& text, double& fraction) {
  fraction = 0.0;
  if (text.size() < 2 || (text[0] != '.' && text[0] != ',') || !is_decimal_digit(text[1]))
    return false;
  std::size_t end = 1;
  double digits = 0.0;
  double scale = 1.0;
  for (; end < text.size() && is_decimal_digit(text[end]); ++end) {
    if (end > k_fraction_digits) continue;
    digits = digits * 10.0 + (text[end] - '0');
    scale *= 10.0;
  }
  fraction = digits / scale;
  text.remove_prefix(end);
  return true;
}

} // namespace coolband
