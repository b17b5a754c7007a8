// SPDX-License-Identifier: Apache-2.0
// Numbers as logs write them, and the marks they put where a value is missing.
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <optional>
#include <string_view>

namespace coolband {

/// How the cells of a log mark the decimals.
struct NumberStyle {
  bool comma = false;        ///< a comma may mark the decimals
  bool point = true;         ///< a point may mark the decimals
  bool comma_groups = false; ///< a comma may group thousands
  bool point_groups = false; ///< a point may group thousands
};

/// Bytes behind a cell that `read_plain_decimal` may load; every reader of rows provides them.
inline constexpr std::size_t k_cell_padding = 8;

namespace plain_decimal {

constexpr std::array<double, 16> k_powers{1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                          1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
constexpr std::uint64_t k_each_byte = 0x0101010101010101U;

/// Up to eight characters at once, in a register: the point is found and closed up, what is left
/// must be digits, and three multiplications add them up (common practice, no source).
inline bool read_eight(const char* at, std::size_t size, std::int64_t& digits,
                       std::uint8_t& decimals) {
  std::uint64_t text = 0;
  std::memcpy(&text, at, sizeof text);
  text <<= 8 * (8 - size);
  const std::uint64_t point_free = text ^ (k_each_byte * '.');
  const std::uint64_t points = (point_free - k_each_byte) & ~point_free & (k_each_byte * 0x80);
  decimals = 0;
  if (points != 0) {
    const auto byte = static_cast<std::size_t>(std::countr_zero(points)) / 8;
    if (byte == 7) return false;
    const std::uint64_t before = text & ((std::uint64_t{1} << (8 * byte)) - 1);
    text = ((text >> (8 * byte + 8)) << (8 * byte + 8)) | (before << 8);
    decimals = static_cast<std::uint8_t>(7 - byte);
    --size;
  }
  if (size == 0) return false;
  text |= ((k_each_byte * '0') >> (4 * size)) >> (4 * size);
  const std::uint64_t upper = k_each_byte * 0xF0;
  if (((text & upper) | (((text + k_each_byte * 6) & upper) >> 4)) != k_each_byte * 0x33)
    return false;
  text = ((text & (k_each_byte * 0x0F)) * 2561) >> 8;
  text = ((text & 0x00FF00FF00FF00FFU) * 6553601) >> 16;
  text = ((text & 0x0000FFFF0000FFFFU) * 42949672960001U) >> 32;
  digits = static_cast<std::int64_t>(text);
  return true;
}

inline bool read_long(const char* at, const char* end, std::int64_t& digits,
                      std::uint8_t& decimals) {
  std::uint64_t sum = 0;
  const char* const first = at;
  while (at != end && static_cast<unsigned char>(*at - '0') < 10) {
    sum = sum * 10 + static_cast<std::uint64_t>(*at++ - '0');
  }
  if (at == first) return false;
  decimals = 0;
  if (at != end && *at == '.') {
    const char* const point = at++;
    while (at != end && static_cast<unsigned char>(*at - '0') < 10) {
      sum = sum * 10 + static_cast<std::uint64_t>(*at++ - '0');
    }
    decimals = static_cast<std::uint8_t>(at - point - 1);
    if (decimals == 0) return false;
  }
  if (at != end || (decimals == 0 && at - first > 15)) return false;
  digits = static_cast<std::int64_t>(sum);
  return true;
}

} // namespace plain_decimal

/// digits / 10^decimals
struct PlainDecimal {
  std::int64_t digits = 0;
  std::uint8_t decimals = 0;

  /// Exact to the last bit: both the digits and the power of ten are exact in a double.
  [[nodiscard]] double value() const {
    return static_cast<double>(digits) / plain_decimal::k_powers[decimals];
  }
};

/// The fast road for "[-]digits[.digits]" of up to 15 digits and nothing else. Loads up to
/// `k_cell_padding` bytes behind the text.
inline bool read_plain_digits(std::string_view text, PlainDecimal& number) {
  const char* at = text.data();
  const char* const end = at + text.size();
  const bool negative = at != end && *at == '-';
  if (negative) ++at;
  const auto size = static_cast<std::size_t>(end - at);
  if (size == 0 || size > 16) return false;
  const bool short_text = size <= 8 && std::endian::native == std::endian::little;
  if (!(short_text ? plain_decimal::read_eight(at, size, number.digits, number.decimals)
                   : plain_decimal::read_long(at, end, number.digits, number.decimals))) {
    return false;
  }
  if (negative) number.digits = -number.digits;
  return true;
}

inline bool read_plain_decimal(std::string_view text, double& value) {
  PlainDecimal number;
  if (!read_plain_digits(text, number)) return false;
  // Of "-0" a plain zero is made.
  value = number.value();
  return true;
}

/// A reading beyond this is no measurement, and would leave the range of a float in another unit.
inline constexpr double k_absurd_number = 1e30;

/// Any number in the given style: signs, exponents, groups, blanks around it. Nothing for text,
/// and nothing for infinities and "nan" (`is_missing_mark` knows those).
std::optional<double> number_in(std::string_view text, const NumberStyle& style);

/// "", "-", "n/a", "null", "nan", "no data" and the like; infinities count as missing too.
bool is_missing_mark(std::string_view text);

/// 1 for on, true, yes, active; 0 for off, false, no, inactive; else nothing.
std::optional<double> switch_state(std::string_view text);

/// Without blanks (also no-break ones) at both ends.
std::string_view trimmed(std::string_view text);

/// Equal without regard to ASCII case and to blanks at the ends.
bool same_text(std::string_view a, std::string_view b);

/// What a sample of cells says about the marks. `comma_is_delimiter` tells that an unquoted comma
/// separates cells, so that "1,234" in quotes means thousands.
class NumberStyleGuess {
 public:
  void see(std::string_view cell);
  [[nodiscard]] NumberStyle style(bool comma_is_delimiter) const;

 private:
  std::size_t comma_decimals_ = 0;  ///< "85,5": cannot be a group
  std::size_t comma_either_ = 0;    ///< "1,234"
  std::size_t point_decimals_ = 0;  ///< "85.5"
  std::size_t both_comma_last_ = 0; ///< "1.234,5"
};

} // namespace coolband
