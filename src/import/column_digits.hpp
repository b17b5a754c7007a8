// SPDX-License-Identifier: Apache-2.0
// Plain decimals of one column, sixteen cells at a time: nothing is decided cell by cell that can
// be decided for all of them.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>

namespace coolband {

/// What eight bytes must be to spell a decimal with a given number of decimals, and how to close up
/// the point. The cell's last character is the highest byte.
struct DigitLayout {
  /// By the cell's size less one: '0' where a digit stands, the mark at the point, 0 before the
  /// cell. Ones where the point would have no digit before it: that matches nothing.
  std::array<std::uint64_t, 8> patterns{};
  std::uint64_t limit = 0;  ///< added to what differs from the pattern, it sets a byte's top bit
                            ///< unless there is a digit, or the point
  std::uint64_t behind = 0; ///< bytes behind the point
  std::uint64_t before = 0; ///< bytes before it
};
inline constexpr std::size_t k_layout_decimals = 8;
using DigitLayouts = std::array<DigitLayout, k_layout_decimals>;

constexpr DigitLayout digit_layout(std::size_t decimals, char mark) {
  DigitLayout layout;
  for (std::size_t i = 0; i < 8; ++i) { // i characters from the end
    const std::size_t shift = 8 * (7 - i);
    const bool point = decimals > 0 && i == decimals;
    const auto expected = static_cast<std::uint8_t>(point ? mark : '0');
    for (std::size_t less_one = i; less_one < 8; ++less_one)
      layout.patterns[less_one] |= std::uint64_t{expected} << shift;
    layout.limit |= std::uint64_t{point ? 0x7FU : 0x76U} << shift;
    if (decimals == 0 || i < decimals) layout.behind |= std::uint64_t{0xFF} << shift;
    if (decimals > 0 && i > decimals) layout.before |= std::uint64_t{0xFF} << shift;
  }
  for (std::size_t less_one = 0; decimals > 0 && less_one <= decimals && less_one < 8; ++less_one)
    layout.patterns[less_one] = ~std::uint64_t{0};
  return layout;
}

constexpr DigitLayouts digit_layouts(char mark) {
  DigitLayouts layouts{};
  for (std::size_t decimals = 0; decimals < layouts.size(); ++decimals)
    layouts[decimals] = digit_layout(decimals, mark);
  return layouts;
}

/// Where the cells of a column stand: the i-th lies between marks[i * stride] and the mark behind.
struct CellPlaces {
  const char* text = nullptr;
  const std::uint32_t* marks = nullptr; ///< places of separators in `text`; ~0 stands before it
  std::size_t stride = 0;

  [[nodiscard]] std::uint32_t begin(std::size_t i) const { return marks[i * stride] + 1; }
  [[nodiscard]] std::uint32_t end(std::size_t i) const { return marks[i * stride + 1]; }
};

inline constexpr std::size_t k_digit_group = 16;

namespace column_digits {

// Vectors as the compiler knows them: it splits them where the processor has only shorter ones.
constexpr std::size_t k_lanes = 4;
using Words = std::uint64_t __attribute__((vector_size(8 * k_lanes)));
using Halves = std::uint32_t __attribute__((vector_size(8 * k_lanes)));
using Narrow = std::int32_t __attribute__((vector_size(4 * k_lanes)));
using Quarters = std::uint16_t __attribute__((vector_size(8 * k_lanes)));

/// Adds up eight digits in each word, the first one in the lowest byte (common practice, no
/// source): pairs, then fours, then all eight.
[[gnu::always_inline]] inline void sum_digits(Words& words) {
  const Words pair_weights = Words{} + 0x0001006400010064U;
  const Words four_weights = Words{} + 0x0000000100002710U;
  const auto bytes = reinterpret_cast<Quarters>(words);
  const Quarters pairs = (bytes & 0xFF) * 10 + (bytes >> 8);
  const auto weighted_pairs =
      reinterpret_cast<Halves>(pairs * reinterpret_cast<Quarters>(pair_weights));
  const Halves fours = (weighted_pairs & 0xFFFF) + (weighted_pairs >> 16);
  const auto weighted_fours =
      reinterpret_cast<Words>(fours * reinterpret_cast<Halves>(four_weights));
  words = (weighted_fours & 0xFFFFFFFFU) + (weighted_fours >> 32);
}

} // namespace column_digits

/// Reads cells [first, first + k_digit_group) into `digits`. False when a single one is not of the
/// layout or has more than eight characters. Up to 8 bytes behind a cell's begin are loaded. For
/// little-endian processors.
[[gnu::always_inline]] inline bool read_digit_group(const CellPlaces& places, std::size_t first,
                                                    const DigitLayout& layout,
                                                    std::int32_t* digits) {
  using namespace column_digits;
  alignas(sizeof(Words)) std::array<std::uint64_t, k_digit_group> cells;
  const std::uint32_t* mark = places.marks + first * places.stride;
  std::uint32_t sizes = 0;
  for (std::size_t i = 0; i < k_digit_group; ++i, mark += places.stride) {
    const std::uint32_t begin = mark[0] + 1;
    const std::uint32_t less_one = mark[1] - begin - 1; // of an empty cell: very large
    sizes |= less_one;
    std::uint64_t cell = 0;
    std::memcpy(&cell, places.text + begin, sizeof cell);
    cells[i] = (cell << ((~less_one * 8) & 63U)) ^ layout.patterns[less_one & 7U];
  }
  if (sizes > 7) return false;
  std::array<Words, k_digit_group / k_lanes> words;
  std::memcpy(words.data(), cells.data(), sizeof cells);
  Words odd{};
  for (const Words& word : words) odd |= (word + layout.limit) | word;
  if (((odd[0] | odd[1] | odd[2] | odd[3]) & 0x8080808080808080U) != 0) return false;
  for (std::size_t i = 0; i < words.size(); ++i) {
    words[i] = (words[i] & layout.behind) | ((words[i] & layout.before) << 8);
    sum_digits(words[i]);
    const auto sums = __builtin_convertvector(words[i], Narrow);
    std::memcpy(digits + k_lanes * i, &sums, sizeof sums);
  }
  return true;
}

} // namespace coolband
