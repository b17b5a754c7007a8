// SPDX-License-Identifier: Apache-2.0
// Raw frames as text: hexadecimal in the ways loggers write it, turned into bytes.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

namespace coolband {

/// The largest identifier of 11 bits.
inline constexpr std::uint32_t k_most_standard = 0x7FF;

/// One run of hexadecimal digits.
struct HexWord {
  std::string_view digits; ///< without "0x" and without a closing "x"
  bool prefixed = false;   ///< "0x" stands in front
  bool extended = false;   ///< an "x" stands behind, the mark of a 29-bit identifier
  bool bracketed = false;  ///< "[8]", the number of bytes that follow

  /// Nothing for more than eight digits.
  [[nodiscard]] std::optional<std::uint32_t> value() const;
};

/// Takes hexadecimal words out of a text one by one. Words are parted by blanks or by one of : # -
/// ; | _ and a mark may close the first word ("18FEEE00: 84 FF").
class HexScanner {
 public:
  explicit HexScanner(std::string_view text);
  /// False at the end, and at anything that is not hexadecimal: then `broken` tells.
  bool next(HexWord& word);
  [[nodiscard]] bool at_end() const { return rest_.empty() && !broken_; }
  [[nodiscard]] bool broken() const { return broken_; }

 private:
  void skip_to_word();
  bool take_word(HexWord& word);
  bool take_digits(HexWord& word);

  std::string_view rest_;
  bool first_ = true;
  bool broken_ = false;
};

/// The bytes of one frame, and the identifier that stood in front of them.
struct FrameText {
  static constexpr std::size_t k_most_bytes = 64;

  std::optional<std::uint32_t> identifier;
  std::array<std::uint8_t, k_most_bytes> bytes{};
  std::size_t size = 0;

  [[nodiscard]] std::span<const std::uint8_t> data() const { return {bytes.data(), size}; }
};

/// Tells how many leading digits of the first word are an identifier; 0 for none. `alone`: no other
/// word follows.
using IdentifierDigits = std::size_t (*)(const HexWord& first, bool alone);

/// "41 05 7B", "41057B", "0x41 0x05 0x7B", "18FEEE00#84FFFF", "18FEEE00x [8] 84 FF ..". Behind an
/// identifier a single digit or a number in brackets announces how many bytes follow, and must be
/// right. Nothing for any other text, for half bytes and for more than `k_most_bytes`.
std::optional<FrameText> read_frame_text(std::string_view text, IdentifierDigits identifier_digits);

/// Hexadecimal and no plain number: there is a letter digit, a "0x", or bytes are parted by blanks.
bool surely_hexadecimal(std::string_view text);

/// No answer rather than a wrong one: empty, dots, question marks, "no data", "timeout".
bool is_no_frame_mark(std::string_view text);

/// An identifier column with nothing in it for this row.
bool is_empty_identifier(std::string_view text);

/// The only word of an identifier column; blanks between its digits do not matter ("01 05").
/// `space` keeps the digits where they had to be moved together.
std::optional<HexWord> identifier_word(std::string_view text, std::array<char, 16>& space);

/// A whole number without sign and "0x", if all digits are decimal.
std::optional<std::uint64_t> decimal_of(const HexWord& word);

} // namespace coolband
