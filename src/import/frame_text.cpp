// SPDX-License-Identifier: Apache-2.0
// Splits the text of a frame into hexadecimal words, and joins those to bytes.
#include "import/frame_text.hpp"

#include "import/number_text.hpp"

#include <algorithm>
#include <charconv>

namespace coolband {

namespace {

// What a character is: the value of a hexadecimal digit, or one of these.
constexpr std::uint8_t k_other = 16;
constexpr std::uint8_t k_blank = 17;
constexpr std::uint8_t k_mark = 18;

constexpr std::array<std::uint8_t, 256> k_kinds = [] {
  std::array<std::uint8_t, 256> kinds{};
  kinds.fill(k_other);
  for (const char c : std::string_view(" \t\r\n")) kinds[static_cast<unsigned char>(c)] = k_blank;
  for (const char c : std::string_view(":#-;|_")) kinds[static_cast<unsigned char>(c)] = k_mark;
  for (std::uint8_t i = 0; i < 10; ++i) kinds[std::size_t{'0'} + i] = i;
  for (std::uint8_t i = 10; i < 16; ++i) {
    kinds[std::size_t{'a'} - 10 + i] = i;
    kinds[std::size_t{'A'} - 10 + i] = i;
  }
  return kinds;
}();

std::uint8_t kind_of(char c) { return k_kinds[static_cast<unsigned char>(c)]; }
unsigned digit_of(char c) { return kind_of(c); } ///< above 15 for anything else
bool is_hex(char c) { return kind_of(c) < k_other; }
bool is_space(char c) { return kind_of(c) == k_blank; }
bool is_mark(char c) { return kind_of(c) == k_mark; }
bool is_x(char c) { return c == 'x' || c == 'X'; }

void drop_blanks(std::string_view& text) {
  while (!text.empty() && is_space(text[0])) text.remove_prefix(1);
}

/// Without blanks, line ends and prompts around it.
std::string_view bare(std::string_view text) {
  drop_blanks(text);
  while (!text.empty() && (is_space(text.back()) || text.back() == '>')) text.remove_suffix(1);
  return text;
}

bool add_bytes(const HexWord& word, FrameText& frame) {
  std::string_view digits = word.digits;
  if (word.extended || word.bracketed) return false;
  if (digits.size() == 1 && word.prefixed) {
    if (frame.size == FrameText::k_most_bytes) return false;
    frame.bytes[frame.size++] = static_cast<std::uint8_t>(digit_of(digits[0]));
    return true;
  }
  if (digits.size() % 2 != 0 || frame.size + digits.size() / 2 > FrameText::k_most_bytes)
    return false;
  for (; !digits.empty(); digits.remove_prefix(2)) {
    const unsigned high = digit_of(digits[0]);
    frame.bytes[frame.size++] = static_cast<std::uint8_t>(high << 4U | digit_of(digits[1]));
  }
  return true;
}

/// The number of bytes that a word behind the identifier announces.
std::optional<std::uint32_t> announced_size(const HexWord& word, bool behind_identifier) {
  const bool single = behind_identifier && word.digits.size() == 1 && !word.prefixed;
  return word.bracketed || single ? word.value() : std::nullopt;
}

/// Takes the identifier off the first word; what is left of it are bytes.
bool take_identifier(HexWord& first, std::size_t digits, FrameText& frame) {
  HexWord identifier = first;
  identifier.digits = first.digits.substr(0, digits);
  frame.identifier = identifier.value();
  first.digits.remove_prefix(digits);
  first.extended = false;
  return frame.identifier.has_value();
}

} // namespace

std::optional<std::uint32_t> HexWord::value() const {
  std::uint32_t number = 0;
  const auto [end, code] =
      std::from_chars(digits.data(), digits.data() + digits.size(), number, 16);
  if (code != std::errc() || end != digits.data() + digits.size()) return std::nullopt;
  return number;
}

HexScanner::HexScanner(std::string_view text) : rest_(bare(text)) {}

void HexScanner::skip_to_word() {
  drop_blanks(rest_);
  if (!first_ && !rest_.empty() && is_mark(rest_[0])) {
    rest_.remove_prefix(1);
    drop_blanks(rest_);
    broken_ = rest_.empty(); // a mark with nothing behind it
  }
  first_ = false;
}

bool HexScanner::take_digits(HexWord& word) {
  if (rest_.size() > 2 && rest_[0] == '0' && is_x(rest_[1]) && is_hex(rest_[2])) {
    word.prefixed = true;
    rest_.remove_prefix(2);
  }
  const auto stop = std::find_if_not(rest_.begin(), rest_.end(), is_hex);
  const auto count = static_cast<std::size_t>(stop - rest_.begin());
  word.digits = rest_.substr(0, count);
  rest_.remove_prefix(count);
  return count > 0;
}

bool HexScanner::take_word(HexWord& word) {
  word.bracketed = rest_[0] == '[';
  if (word.bracketed) rest_.remove_prefix(1);
  if (!take_digits(word)) return false;
  if (word.bracketed) {
    if (!rest_.starts_with(']')) return false;
    rest_.remove_prefix(1);
  } else if (!rest_.empty() && is_x(rest_[0])) {
    word.extended = true;
    rest_.remove_prefix(1);
  }
  return rest_.empty() || is_space(rest_[0]) || is_mark(rest_[0]);
}

bool HexScanner::next(HexWord& word) {
  word = {};
  skip_to_word();
  if (rest_.empty() || broken_) return false;
  broken_ = !take_word(word);
  return !broken_;
}

std::optional<FrameText> read_frame_text(std::string_view text,
                                         IdentifierDigits identifier_digits) {
  HexScanner scanner(text);
  HexWord word;
  if (!scanner.next(word)) return std::nullopt;
  FrameText frame;
  const std::size_t digits = word.bracketed ? 0 : identifier_digits(word, scanner.at_end());
  bool more = true;
  if (digits > 0) {
    if (!take_identifier(word, digits, frame)) return std::nullopt;
    if (word.digits.empty()) more = scanner.next(word);
  }
  const auto announced =
      more ? announced_size(word, frame.identifier.has_value()) : std::optional<std::uint32_t>();
  if (announced) more = scanner.next(word);
  while (more) {
    if (!add_bytes(word, frame)) return std::nullopt;
    more = scanner.next(word);
  }
  if (scanner.broken()) return std::nullopt;
  if (announced && *announced != frame.size) return std::nullopt;
  return frame;
}

bool surely_hexadecimal(std::string_view text) {
  HexScanner scanner(text);
  HexWord word;
  std::size_t parted_bytes = 0;
  bool sure = false;
  while (scanner.next(word)) {
    const bool letters =
        std::any_of(word.digits.begin(), word.digits.end(), [](char c) { return digit_of(c) > 9; });
    if (word.digits.size() == 2) ++parted_bytes;
    sure = sure || letters || word.prefixed;
  }
  const bool blanks = bare(text).find(' ') != std::string_view::npos;
  return scanner.at_end() && (sure || (parted_bytes > 1 && blanks));
}

bool is_no_frame_mark(std::string_view text) {
  const std::string_view mark = bare(text);
  if (mark.find_first_not_of(".-?*> \t\r\n") == std::string_view::npos) return true;
  return is_missing_mark(mark) || same_text(mark, "no response") || same_text(mark, "timeout") ||
         same_text(mark, "timed out");
}

bool is_empty_identifier(std::string_view text) {
  const std::string_view word = trimmed(text);
  return word.empty() || (!is_hex(word[0]) && is_missing_mark(word));
}

std::optional<HexWord> identifier_word(std::string_view text, std::array<char, 16>& space) {
  HexScanner scanner(text);
  HexWord word;
  if (!scanner.next(word) || word.bracketed) return std::nullopt;
  if (scanner.at_end()) return word;
  HexWord whole = word;
  std::size_t size = 0;
  for (bool more = true; more; more = scanner.next(word)) {
    if (word.extended || word.bracketed || size + word.digits.size() > space.size())
      return std::nullopt;
    size = static_cast<std::size_t>(
        std::copy(word.digits.begin(), word.digits.end(), space.begin() + static_cast<long>(size)) -
        space.begin());
  }
  if (scanner.broken()) return std::nullopt;
  whole.digits = {space.data(), size};
  return whole;
}

std::optional<std::uint64_t> decimal_of(const HexWord& word) {
  std::uint64_t number = 0;
  const char* const end = word.digits.data() + word.digits.size();
  const auto [stop, code] = std::from_chars(word.digits.data(), end, number);
  if (word.prefixed || word.extended || code != std::errc() || stop != end) return std::nullopt;
  return number;
}

} // namespace coolband
