// SPDX-License-Identifier: Apache-2.0
// Code points of a text from outside, and which of them work on what shows them.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace coolband {

struct CodePoint {
  char32_t value = 0xFFFD;
  std::size_t bytes = 1;
  bool sound = false; ///< else one byte that begins no well-formed sequence
};

/// The first code point of a text that is not empty (well-formed sequences as in table 3-7 of the
/// Unicode Standard).
CodePoint first_code_point(std::string_view text);

/// Does it steer a terminal, or the order in which what follows is shown? The control characters
/// (general category Cc of the Unicode Standard), its line and paragraph separators, and the
/// characters with the property Bidi_Control (Unicode Standard Annex 9).
bool is_steering(char32_t value);

/// JSON whose strings hold no such character: each is written as its escape, so that the values
/// stay what they are. `json` is well-formed JSON in UTF-8; its line ends stay.
std::string without_steering(std::string json);

} // namespace coolband
