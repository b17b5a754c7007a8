// SPDX-License-Identifier: Apache-2.0
// From the text of a heading to its words: encodings mended, accents off, cases split.
#include "import/vocabulary.hpp"

#include "import/text_fields.hpp"

#include <array>
#include <cstdint>

namespace coolband {

namespace {

/// ASCII for U+00C0..U+00FF, in order; a blank where a sign is no letter.
constexpr auto k_latin_1 = std::to_array<std::string_view>(
    {"a", "a", "a", "a", "a", "a", "ae", "c", "e", "e", "e", "e", "i", "i", "i",  "i",
     "d", "n", "o", "o", "o", "o", "o",  " ", "o", "u", "u", "u", "u", "y", "th", "ss",
     "a", "a", "a", "a", "a", "a", "ae", "c", "e", "e", "e", "e", "i", "i", "i",  "i",
     "d", "n", "o", "o", "o", "o", "o",  " ", "o", "u", "u", "u", "u", "y", "th", "y"});

/// ASCII for U+0100..U+017F, one letter each ("ij" and "oe" are cut to their first).
constexpr std::string_view k_latin_a = "aaaaaa"
                                       "cccccccc"
                                       "dddd"
                                       "eeeeeeeeee"
                                       "gggggggg"
                                       "hhhh"
                                       "iiiiiiiiii"
                                       "ii"
                                       "jj"
                                       "kkk"
                                       "llllllllll"
                                       "nnnnnnnnn"
                                       "oooooo"
                                       "oo"
                                       "rrrrrr"
                                       "ssssssss"
                                       "tttttt"
                                       "uuuuuuuuuuuu"
                                       "ww"
                                       "yyy"
                                       "zzzzzz"
                                       "s";
static_assert(k_latin_a.size() == 128);

bool is_upper(char c) { return c >= 'A' && c <= 'Z'; }
bool is_lower(char c) { return c >= 'a' && c <= 'z'; }
bool is_tail(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

/// Bytes of the UTF-8 sequence at `at`, or 0 when there is none.
std::size_t sequence_size(std::string_view text, std::size_t at) {
  const auto lead = static_cast<unsigned char>(text[at]);
  std::size_t size = lead < 0x80 ? 1 : 0;
  if (lead >= 0xC2 && lead < 0xE0) size = 2;
  if (lead >= 0xE0 && lead < 0xF0) size = 3;
  if (lead >= 0xF0 && lead < 0xF5) size = 4;
  if (size == 0 || at + size > text.size()) return 0;
  for (std::size_t i = 1; i < size; ++i) {
    if (!is_tail(text[at + i])) return 0;
  }
  // Forms longer than needed, halves of surrogate pairs and what lies beyond Unicode (RFC 3629).
  const auto second = static_cast<unsigned char>(size > 2 ? text[at + 1] : 0);
  const bool wrong = (lead == 0xE0 && second < 0xA0) || (lead == 0xED && second > 0x9F) ||
                     (lead == 0xF0 && second < 0x90) || (lead == 0xF4 && second > 0x8F);
  return wrong ? 0 : size;
}

void append_latin_1(std::string& out, unsigned char byte) {
  out += static_cast<char>(0xC0U | (byte >> 6U));
  out += static_cast<char>(0x80U | (byte & 0x3FU));
}

/// Text with base letters for accented ones. Those have lost their case: `caseless` marks them.
struct BaseLetters {
  std::string text;
  std::vector<bool> caseless;

  void add(std::string_view letters, bool plain) {
    text += letters;
    caseless.resize(text.size(), !plain);
  }
};

/// Letters beyond ASCII become small base letters; other signs become blanks.
BaseLetters without_accents(std::string_view text) {
  BaseLetters out;
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t size = sequence_size(text, i);
    if (size <= 1) {
      out.add(text.substr(i++, 1), true);
      continue;
    }
    const auto lead = static_cast<unsigned char>(text[i]);
    const auto tail = static_cast<unsigned>(static_cast<unsigned char>(text[i + 1]));
    const unsigned code = ((lead & 0x1FU) << 6U) | (tail & 0x3FU);
    i += size;
    if (size == 2 && code >= 0xC0 && code <= 0xFF)
      out.add(k_latin_1[code - 0xC0], false);
    else if (size == 2 && code >= 0x100 && code <= 0x17F)
      out.add(k_latin_a.substr(code - 0x100, 1), false);
    else
      out.add(" ", true);
  }
  return out;
}

/// A new word starts at `i`: "coolantTemp", "RPMValue" (before V), "temp1".
bool splits_before(const BaseLetters& letters, std::size_t i) {
  const std::string& text = letters.text;
  const char previous = text[i - 1];
  const char here = text[i];
  if (is_decimal_digit(previous) != is_decimal_digit(here)) return true;
  if (letters.caseless[i - 1] || letters.caseless[i]) return false;
  if (is_lower(previous) && is_upper(here)) return true;
  const bool word_follows =
      i + 1 < text.size() && is_lower(text[i + 1]) && !letters.caseless[i + 1];
  return is_upper(previous) && is_upper(here) && word_follows;
}

} // namespace

std::string as_utf8(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t size = sequence_size(text, i);
    if (size == 0)
      append_latin_1(out, static_cast<unsigned char>(text[i]));
    else
      out += text.substr(i, size);
    i += size == 0 ? 1 : size;
  }
  return out;
}

std::vector<std::string> words_of(std::string_view heading) {
  std::string mended = as_utf8(heading);
  // "Ã¼" for "ü" and "Â°" for "°": UTF-8 that was taken for Latin-1 and encoded again.
  for (const std::string_view twice : {"\xC3\x83\xC2", "\xC3\x82\xC2"}) {
    for (auto at = mended.find(twice); at != std::string::npos; at = mended.find(twice, at + 1)) {
      mended.erase(twice[1] == '\x83' ? at + 1 : at, 2);
    }
  }
  const BaseLetters letters = without_accents(mended);
  const std::string& text = letters.text;
  std::vector<std::string> words;
  bool open = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (!is_upper(c) && !is_lower(c) && !is_decimal_digit(c)) {
      open = false;
      continue;
    }
    if (!open || splits_before(letters, i)) words.emplace_back();
    open = true;
    words.back() += is_upper(c) ? static_cast<char>(c - 'A' + 'a') : c;
  }
  return words;
}

} // namespace coolband
