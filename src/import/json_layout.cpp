// SPDX-License-Identifier: Apache-2.0
// Sixteen bytes are compared and looked through at once where the machine can.
#include "import/json_layout.hpp"

#include "import/input_buffer.hpp"

#include <algorithm>
#include <bit>
#include <cstring>

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace coolband {

namespace {

/// Sixteen characters, asked for all at once; bit i of an answer is character i.
class Block {
 public:
#if defined(__SSE2__)
  explicit Block(const char* at)
      : bytes_(_mm_loadu_si128(static_cast<const __m128i*>(static_cast<const void*>(at)))) {}
  [[nodiscard]] unsigned equal(char c) const {
    return mask(_mm_cmpeq_epi8(bytes_, _mm_set1_epi8(c)));
  }
  [[nodiscard]] unsigned equal(const Block& other) const {
    return mask(_mm_cmpeq_epi8(bytes_, other.bytes_));
  }
  [[nodiscard]] unsigned digits() const {
    const __m128i from_zero = _mm_sub_epi8(bytes_, _mm_set1_epi8('0'));
    return mask(_mm_cmpeq_epi8(_mm_min_epu8(from_zero, _mm_set1_epi8(9)), from_zero));
  }
  /// Control characters, and bytes that are not ASCII.
  [[nodiscard]] unsigned unusual() const {
    return mask(_mm_cmplt_epi8(bytes_, _mm_set1_epi8(0x20)));
  }

 private:
  static unsigned mask(__m128i hits) { return static_cast<unsigned>(_mm_movemask_epi8(hits)); }
  __m128i bytes_;
#else
  explicit Block(const char* at) { std::memcpy(bytes_, at, sizeof bytes_); }
  [[nodiscard]] unsigned equal(char c) const {
    return mask([&](std::size_t i) { return bytes_[i] == c; });
  }
  [[nodiscard]] unsigned equal(const Block& other) const {
    return mask([&](std::size_t i) { return bytes_[i] == other.bytes_[i]; });
  }
  [[nodiscard]] unsigned digits() const {
    return mask([&](std::size_t i) { return bytes_[i] >= '0' && bytes_[i] <= '9'; });
  }
  /// Control characters, and bytes that are not ASCII.
  [[nodiscard]] unsigned unusual() const {
    return mask([&](std::size_t i) {
      return static_cast<unsigned char>(bytes_[i]) < 0x20 ||
             static_cast<unsigned char>(bytes_[i]) >= 0x80;
    });
  }

 private:
  template <class Test>
  static unsigned mask(Test test) {
    unsigned bits = 0;
    for (std::size_t i = 0; i < 16; ++i) bits |= (test(i) ? 1U : 0U) << i;
    return bits;
  }
  char bytes_[16];
#endif
};

/// The size of a number of up to 15 characters in JSON's grammar without an exponent; 0 if there
/// is none. What stands behind it is for the next gap to accept.
std::size_t number_size(const char* at) {
  const std::size_t sign = *at == '-' ? 1 : 0;
  const Block block(at + sign);
  const unsigned digits = block.digits();
  const unsigned points = block.equal('.');
  const auto size = static_cast<unsigned>(std::countr_zero(~(digits | points) | 0x10000U));
  const unsigned inside = points & ((1U << size) - 1U);
  const bool leading_zero = at[sign] == '0' && (digits & 2U) != 0;
  const bool wrong = size == 0 || size == 16 || (inside & (inside - 1U)) != 0 ||
                     ((inside | (inside << 1 >> size)) & 1U) != 0 || leading_zero;
  return wrong ? 0 : size + sign;
}

/// The size of a string without escapes, with its quotes; 0 if it is none that ends before `end`.
std::size_t string_size(const char* at, const char* end) {
  for (const char* from = at + 1; from < end; from += 16) {
    const Block block(from);
    const unsigned quotes = block.equal('"');
    const unsigned stops = quotes | block.equal('\\') | block.unusual();
    if (stops == 0) continue;
    const int first = std::countr_zero(stops);
    if (((quotes >> first) & 1U) == 0) return 0;
    return static_cast<std::size_t>(from + first + 1 - at);
  }
  return 0;
}

/// The value at `at`, or false; `at` is then behind it.
inline bool take_value(const char*& at, const char* end, std::string_view& cell) {
  if (*at == '"') {
    const std::size_t size = string_size(at, end);
    if (size == 0) return false;
    cell = {at + 1, size - 2};
    at += size;
    return true;
  }
  if (std::memcmp(at, "null", 4) == 0) {
    cell = {};
    at += 4;
    return true;
  }
  const std::size_t size = number_size(at);
  cell = {at, size};
  at += size;
  return size != 0;
}

} // namespace

bool JsonLayout::learn(std::string_view whole, std::span<const JsonRecord::Field> fields,
                       std::span<const std::size_t> columns) {
  gaps_.clear();
  const char* from = whole.data();
  for (std::size_t i = 0; i < fields.size(); ++i) {
    if (!add_gap(from, fields[i].raw.data(), columns[i])) return false;
    from = fields[i].raw.data() + fields[i].raw.size();
  }
  if (fields.empty() || !add_gap(from, whole.data() + whole.size(), 0)) return false;
  lines_ = static_cast<std::size_t>(std::count(whole.begin(), whole.end(), '\n'));
  return true;
}

bool JsonLayout::add_gap(const char* from, const char* to, std::size_t column) {
  const auto size = static_cast<std::size_t>(to - from);
  if (size == 0 || size > k_longest_gap) return false;
  Gap gap;
  std::memcpy(gap.bytes.data(), from, size);
  gap.size = size;
  gap.column = column;
  gap.blocks = (size - 1) / 16;
  gap.last_mask = (2U << ((size - 1) % 16)) - 1U;
  gaps_.push_back(gap);
  return true;
}

inline bool JsonLayout::stands(const Gap& gap, const char* at) {
  const char* bytes = gap.bytes.data();
  for (std::size_t i = 0; i < gap.blocks; ++i, at += 16, bytes += 16) {
    if (Block(at).equal(Block(bytes)) != 0xFFFFU) return false;
  }
  return (~Block(at).equal(Block(bytes)) & gap.last_mask) == 0;
}

std::size_t JsonLayout::take(std::string_view window, std::vector<std::string_view>& cells) const {
  static_assert(k_padding_bytes >= k_longest_gap);
  const char* at = window.data();
  const char* const end = at + window.size();
  const std::size_t values = gaps_.size() - 1;
  for (std::size_t i = 0; i < values; ++i) {
    const Gap& gap = gaps_[i];
    // What lies behind the window may look like a record, but is only what was there before.
    if (at > end || !stands(gap, at)) return 0;
    at += gap.size;
    if (at > end || !take_value(at, end, cells[gap.column])) return 0;
  }
  if (at > end || !stands(gaps_[values], at)) return 0;
  at += gaps_[values].size;
  return at > end ? 0 : static_cast<std::size_t>(at - window.data());
}

} // namespace coolband
