// SPDX-License-Identifier: Apache-2.0
// Finds the next delimiter, quote or line end, 64 bytes at a time.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace coolband {

/// Works on [begin, end); up to 63 bytes behind `end` are read but never reported.
class SeparatorScan {
 public:
  explicit SeparatorScan(char delimiter) : delimiter_(delimiter) {}

  void start(const char* begin, const char* end) {
    base_ = begin;
    end_ = end;
    mask_ = begin < end ? mask_of(begin) : 0;
  }

  /// The next place, or `end` when there is none.
  const char* next() {
    while (mask_ == 0) {
      if (end_ - base_ <= 64) return end_;
      base_ += 64;
      mask_ = mask_of(base_);
    }
    const char* found = base_ + std::countr_zero(mask_);
    mask_ &= mask_ - 1;
    return found < end_ ? found : end_;
  }

  /// A bit for each of 64 bytes.
  struct Masks {
    std::uint64_t marks = 0; ///< delimiters, quotes and line ends
    std::uint64_t delimiters = 0;
  };

  [[nodiscard]] [[gnu::always_inline]] std::uint64_t mask_of(const char* from) const {
    return masks_of(from).marks;
  }

#if defined(__SSE2__)
  [[nodiscard]] [[gnu::always_inline]] Masks masks_of(const char* from) const {
    const __m128i delimiter = _mm_set1_epi8(delimiter_);
    const __m128i quote = _mm_set1_epi8('"');
    const __m128i feed = _mm_set1_epi8('\n');
    const __m128i carriage = _mm_set1_epi8('\r');
    Masks masks;
    for (unsigned part = 0; part < 4; ++part) {
      const __m128i bytes = _mm_loadu_si128(
          static_cast<const __m128i*>(static_cast<const void*>(from + std::size_t{16} * part)));
      const __m128i delimits = _mm_cmpeq_epi8(bytes, delimiter);
      const __m128i other =
          _mm_or_si128(_mm_cmpeq_epi8(bytes, quote),
                       _mm_or_si128(_mm_cmpeq_epi8(bytes, feed), _mm_cmpeq_epi8(bytes, carriage)));
      const auto hits = static_cast<unsigned>(_mm_movemask_epi8(_mm_or_si128(delimits, other)));
      masks.marks |= std::uint64_t{hits} << (16 * part);
      masks.delimiters |= std::uint64_t{static_cast<unsigned>(_mm_movemask_epi8(delimits))}
                          << (16 * part);
    }
    return masks;
  }
#else
  [[nodiscard]] [[gnu::always_inline]] Masks masks_of(const char* from) const {
    Masks masks;
    for (unsigned i = 0; i < 64; ++i) {
      const char c = from[i];
      const bool hit = c == delimiter_ || c == '"' || c == '\n' || c == '\r';
      masks.marks |= std::uint64_t{hit} << i;
      masks.delimiters |= std::uint64_t{c == delimiter_} << i;
    }
    return masks;
  }
#endif

 private:
  char delimiter_;
  const char* base_ = nullptr;
  const char* end_ = nullptr;
  std::uint64_t mask_ = 0;
};

} // namespace coolband
