// SPDX-License-Identifier: Apache-2.0
// Values that serialisers write though JSON has no such value.
#pragma once

#include <cstddef>
#include <span>
#include <string>

namespace coolband {

struct JsonWords {
  std::size_t missing = 0;   ///< bare NaN, Infinity and the like
  std::size_t too_large = 0; ///< numbers that a double cannot hold
};

/// Overwrites such values with texts of the same length, so that places in `text` stay what they
/// are: a missing one with an empty string, a number that is too large with a text of #.
JsonWords mend_json_words(std::span<char> text);

/// "3 values are written NaN or Infinity, ..."
std::string json_words_note(std::size_t missing);

} // namespace coolband
