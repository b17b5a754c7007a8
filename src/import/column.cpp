// SPDX-License-Identifier: Apache-2.0
// Columns in whole numbers: values of a log are decimals with few digits that move little within an
// hour, so a byte or two hold what a float would take four for.
#include "coolband/import/recording.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <new>
#include <span>
#include <utility>

#include <sys/mman.h>

namespace coolband {

namespace {

constexpr std::int32_t k_missing = Column::k_no_digits;
constexpr double k_most_ticks = 9e15;
constexpr std::size_t k_first_piece = std::size_t{32} << 10;
constexpr std::size_t k_large_page = std::size_t{2} << 20;
constexpr std::uint8_t k_most_decimals = 9;
constexpr std::array<double, k_most_decimals + 1> k_powers{1e0, 1e1, 1e2, 1e3, 1e4,
                                                           1e5, 1e6, 1e7, 1e8, 1e9};
constexpr std::uint8_t k_guessed_decimals = 4;
constexpr std::uint8_t k_none = 255;
constexpr double k_most_digits = 2147483647.0;

/// Fewest decimals that give `value` back exactly, and its digits; none: k_none.
std::uint8_t decimals_of(double value, std::int32_t& digits) {
  for (std::uint8_t d = 0; d <= k_guessed_decimals; ++d) {
    const double scaled = std::round(value * k_powers[d]);
    if (!(std::abs(scaled) <= k_most_digits)) break;
    if (scaled / k_powers[d] != value) continue;
    digits = static_cast<std::int32_t>(scaled);
    return d;
  }
  return k_none;
}

std::uint64_t little(std::uint64_t word) {
  return std::endian::native == std::endian::little ? word : __builtin_bswap64(word);
}

/// Bytes of a chunk; the last numbers are loaded with bytes behind them.
std::size_t packed_size(std::uint8_t bits) { return Column::k_chunk_rows * bits / 8 + 8; }

using Numbers = std::array<std::uint32_t, Column::k_chunk_rows>;
using Digits = std::array<std::int32_t, Column::k_chunk_rows>;

/// What is packed: how far each value lies above the base; all ones for a missing one.
void above_base(const std::vector<std::int32_t>& digits, std::int32_t base, std::uint8_t bits,
                Numbers& above) {
  const auto missing = static_cast<std::uint32_t>((std::uint64_t{1} << bits) - 1);
  for (std::size_t i = 0; i < above.size(); ++i) {
    const std::uint32_t over =
        static_cast<std::uint32_t>(digits[i]) - static_cast<std::uint32_t>(base);
    above[i] = digits[i] == k_missing ? missing : over;
  }
}

/// Eight numbers fill whole bytes, so they need no count of bits: the common case.
constexpr std::uint8_t k_most_bits_by_eight = 15;

void pack_by_eight(const Numbers& above, std::uint8_t bits, std::byte* into) {
  const auto four = [&](std::size_t i) {
    return std::uint64_t{above[i]} | std::uint64_t{above[i + 1]} << bits |
           std::uint64_t{above[i + 2]} << 2U * bits | std::uint64_t{above[i + 3]} << 3U * bits;
  };
  const unsigned four_bits = 4U * bits;
  const unsigned odd_bits = four_bits % 8; // the second four begin in the middle of a byte, or not
  for (std::size_t i = 0; i < above.size(); i += 8) {
    const std::uint64_t first = four(i);
    const std::uint64_t shared = odd_bits == 0 ? 0 : first >> (four_bits - odd_bits);
    const std::uint64_t second = shared | four(i + 4) << odd_bits;
    const std::uint64_t first_out = little(first);
    const std::uint64_t second_out = little(second);
    std::memcpy(into, &first_out, 8);
    std::memcpy(into + four_bits / 8, &second_out, 8);
    into += bits;
  }
}

void pack(const Numbers& above, std::uint8_t bits, std::byte* into) {
  if (bits <= k_most_bits_by_eight) return pack_by_eight(above, bits, into);
  std::uint64_t word = 0;
  unsigned filled = 0;
  for (const std::uint64_t number : above) {
    word |= number << filled;
    filled += bits;
    if (filled < 32) continue;
    const std::uint64_t out = little(word);
    std::memcpy(into, &out, 4);
    into += 4;
    word >>= 32;
    filled -= 32;
  }
  const std::uint64_t out = little(word);
  std::memcpy(into, &out, 8);
}

inline std::int32_t unpack(const std::byte* bytes, std::size_t index, std::uint8_t bits,
                           std::int32_t base) {
  const std::size_t place = index * bits;
  std::uint64_t word = 0;
  std::memcpy(&word, bytes + place / 8, sizeof word);
  const std::uint64_t mask = (std::uint64_t{1} << bits) - 1;
  const std::uint64_t above = (little(word) >> (place % 8)) & mask;
  if (above == mask) return k_missing;
  return static_cast<std::int32_t>(static_cast<std::uint32_t>(base) +
                                   static_cast<std::uint32_t>(above));
}

/// What `pack_by_eight` packed. The bits are known while compiling: this is what every pass over
/// the rows waits for.
template <unsigned bits>
void unpack_by_eight(const std::byte* bytes, Numbers& above) {
  constexpr std::uint64_t k_mask = (std::uint64_t{1} << bits) - 1;
  for (std::size_t i = 0; i < above.size(); i += 8) {
    std::uint64_t first = 0;
    std::uint64_t second = 0;
    std::memcpy(&first, bytes, sizeof first);
    std::memcpy(&second, bytes + 4 * bits / 8, sizeof second);
    first = little(first);
    second = little(second) >> (4 * bits % 8);
    for (unsigned k = 0; k < 4; ++k) {
      above[i + k] = static_cast<std::uint32_t>(first >> (k * bits) & k_mask);
      above[i + 4 + k] = static_cast<std::uint32_t>(second >> (k * bits) & k_mask);
    }
    bytes += bits;
  }
}

template <std::size_t... fewer>
void unpack_by_eight(const std::byte* bytes, std::uint8_t bits, Numbers& above,
                     std::index_sequence<fewer...>) {
  using Unpack = void (*)(const std::byte*, Numbers&);
  constexpr Unpack k_by_bits[] = {unpack_by_eight<fewer + 1>...};
  k_by_bits[bits - 1](bytes, above);
}

/// All numbers of a chunk, as `unpack` has them.
void unpack_all(const std::byte* bytes, std::uint8_t bits, std::int32_t base, Digits& digits) {
  if (bits > k_most_bits_by_eight) {
    for (std::size_t i = 0; i < digits.size(); ++i) digits[i] = unpack(bytes, i, bits, base);
    return;
  }
  Numbers above;
  unpack_by_eight(bytes, bits, above, std::make_index_sequence<k_most_bits_by_eight>());
  const auto missing = static_cast<std::uint32_t>((std::uint64_t{1} << bits) - 1);
  for (std::size_t i = 0; i < digits.size(); ++i) {
    const auto value = static_cast<std::int32_t>(static_cast<std::uint32_t>(base) + above[i]);
    digits[i] = above[i] == missing ? k_missing : value;
  }
}

/// As `Column::value_of`, in two loops without branches that go several values at a time.
void to_values(std::span<const std::int32_t> digits, double power, double scale, double offset,
               std::vector<float>& into) {
  float* const values = into.data();
  // Most columns come in coolband's own unit, and many in whole numbers of it: a division and a
  // scale by 1 change nothing, and take most of the time.
  if (scale != 1.0 || offset != 0.0) {
    for (std::size_t i = 0; i < digits.size(); ++i)
      values[i] = static_cast<float>(digits[i] / power * scale + offset);
  } else if (power != 1.0) {
    for (std::size_t i = 0; i < digits.size(); ++i)
      values[i] = static_cast<float>(digits[i] / power);
  } else {
    for (std::size_t i = 0; i < digits.size(); ++i) values[i] = static_cast<float>(digits[i]);
  }
  for (std::size_t i = 0; i < digits.size(); ++i)
    values[i] = digits[i] == k_missing ? std::numeric_limits<float>::quiet_NaN() : values[i];
}

struct Extremes {
  std::int32_t low = 0;
  std::int32_t high = k_missing; ///< `k_missing` when every value is missing
  bool missing = false;
};

/// In unsigned numbers counted from the mark for missing values, so that one pass without
/// branches leaves those out.
Extremes extremes_of(const std::vector<std::int32_t>& digits) {
  std::uint32_t low = ~0U;
  std::uint32_t high = 0;
  std::uint32_t missing = 0;
  for (const std::int32_t d : digits) {
    const std::uint32_t above = static_cast<std::uint32_t>(d) ^ 0x80000000U;
    low = std::min(low, above - 1);
    high = std::max(high, above);
    missing |= above == 0 ? 1U : 0U;
  }
  return {static_cast<std::int32_t>((low + 1) ^ 0x80000000U),
          static_cast<std::int32_t>(high ^ 0x80000000U), missing != 0};
}

} // namespace

std::byte* ColumnStore::take(std::size_t count) {
  count = (count + 7) / 8 * 8;
  if (count > left_) {
    piece_ = std::max(std::min(std::max(piece_ * 2, k_first_piece), k_large_page), count);
    const bool large = piece_ % k_large_page == 0;
    void* const fresh = large ? std::aligned_alloc(k_large_page, piece_) : std::malloc(piece_);
    if (fresh == nullptr) throw std::bad_alloc();
#if defined(MADV_HUGEPAGE)
    // Only a hint: it has no effect where there are no such pages.
    if (large) static_cast<void>(::madvise(fresh, piece_, MADV_HUGEPAGE));
#endif
    pieces_.emplace_back(static_cast<std::byte*>(fresh),
                         [](std::byte* piece) { std::free(piece); });
    next_ = pieces_.back().get();
    left_ = piece_;
  }
  left_ -= count;
  return std::exchange(next_, next_ + count);
}

std::byte* Column::take(std::size_t count) {
  if (!store_) store_ = std::make_shared<ColumnStore>();
  return store_->take(count);
}

Column::Column(std::initializer_list<float> values) {
  for (const float value : values) push_back(value);
}

Column& Column::operator=(const std::vector<float>& values) {
  *this = Column();
  for (const float value : values) push_back(value);
  return *this;
}

void Column::push(double value) {
  std::int32_t digits = k_missing;
  if (std::isnan(value)) return push_missing();
  const std::uint8_t decimals = decimals_of(value, digits);
  if (decimals == k_none) return push_exact(value);
  push_decimal(digits, decimals);
}

void Column::push_missing() {
  if (open_rows() == k_chunk_rows) seal();
  if (exact_)
    exact_open_.push_back(std::numeric_limits<float>::quiet_NaN());
  else
    open_.push_back(k_missing);
}

void Column::push_decimals(const std::int32_t* digits, std::size_t count, std::uint8_t decimals) {
  while (count > 0) {
    if (open_rows() == k_chunk_rows) seal();
    if (open_.empty() && !exact_) decimals_ = decimals;
    const std::size_t now = std::min(count, k_chunk_rows - open_rows());
    if (decimals == decimals_ && !exact_) {
      open_.insert(open_.end(), digits, digits + now);
    } else {
      for (std::size_t i = 0; i < now; ++i) {
        if (digits[i] == k_missing)
          push_missing();
        else
          push_decimal(digits[i], decimals);
      }
    }
    digits += now;
    count -= now;
  }
}

void Column::push_odd(std::int32_t digits, std::uint8_t decimals) {
  if (open_rows() == k_chunk_rows) seal();
  if (exact_) return push_exact(static_cast<double>(digits) / k_powers[decimals]);
  if (decimals > decimals_ && !raise_decimals(decimals)) {
    return push_exact(static_cast<double>(digits) / k_powers[decimals]);
  }
  const std::int64_t raised =
      std::int64_t{digits} * static_cast<std::int64_t>(k_powers[decimals_ - decimals]);
  if (std::abs(raised) > std::numeric_limits<std::int32_t>::max()) {
    return push_exact(static_cast<double>(digits) / k_powers[decimals]);
  }
  open_.push_back(static_cast<std::int32_t>(raised));
}

/// False when the digits would no longer fit.
bool Column::raise_decimals(std::uint8_t decimals) {
  const auto factor = static_cast<std::int64_t>(k_powers[decimals - decimals_]);
  const std::int64_t most = std::numeric_limits<std::int32_t>::max() / factor;
  const bool fits = std::all_of(open_.begin(), open_.end(), [&](std::int32_t digits) {
    return digits == k_missing || std::abs(std::int64_t{digits}) <= most;
  });
  if (!fits) return false;
  for (std::int32_t& digits : open_) {
    if (digits != k_missing) digits = static_cast<std::int32_t>(digits * factor);
  }
  decimals_ = decimals;
  return true;
}

void Column::push_exact(double value) {
  if (open_rows() == k_chunk_rows) seal();
  if (!exact_) go_exact();
  exact_open_.push_back(static_cast<float>(value));
}

void Column::go_exact() {
  exact_open_.clear();
  for (const std::int32_t digits : open_) {
    exact_open_.push_back(digits == k_missing ? std::numeric_limits<float>::quiet_NaN()
                                              : static_cast<float>(digits / k_powers[decimals_]));
  }
  open_.clear();
  exact_ = true;
}

void Column::pop_back() {
  if (exact_)
    exact_open_.pop_back();
  else
    open_.pop_back();
}

void Column::assign(std::size_t rows, float value) {
  *this = Column();
  for (std::size_t i = 0; i < rows; ++i) push_back(value);
}

void Column::rescale(double scale, double offset) {
  scale_ = scale;
  offset_ = offset;
}

void Column::seal() {
  Chunk chunk;
  chunk.decimals = decimals_;
  decimals_ = 0;
  if (exact_) {
    chunk.exact = true;
    chunk.bytes = take(k_chunk_rows * sizeof(float));
    std::memcpy(chunk.bytes, exact_open_.data(), k_chunk_rows * sizeof(float));
    exact_open_.clear();
    exact_ = false;
    chunks_.push_back(chunk);
    return;
  }
  const auto [low, high, missing] = extremes_of(open_);
  const std::uint32_t range =
      high == k_missing ? 0 : static_cast<std::uint32_t>(high) - static_cast<std::uint32_t>(low);
  chunk.base = low;
  chunk.missing = missing && high == k_missing;
  if (range > 0 || (missing && !chunk.missing)) {
    // One code more than the values need, for a missing one.
    chunk.bits = static_cast<std::uint8_t>(std::bit_width(std::uint64_t{range} + 1));
    chunk.bytes = take(packed_size(chunk.bits));
    Numbers above;
    above_base(open_, low, chunk.bits, above);
    pack(above, chunk.bits, chunk.bytes);
  }
  open_.clear();
  chunks_.push_back(chunk);
}

float Column::value_of(std::int32_t digits, std::uint8_t decimals) const {
  const auto value = static_cast<float>(digits / k_powers[decimals] * scale_ + offset_);
  return digits == k_missing ? std::numeric_limits<float>::quiet_NaN() : value;
}

float Column::operator[](std::size_t row) const {
  const std::size_t index = row % k_chunk_rows;
  const auto scaled = [&](float value) {
    return static_cast<float>(static_cast<double>(value) * scale_ + offset_);
  };
  if (row >= sealed_rows())
    return exact_ ? scaled(exact_open_[index]) : value_of(open_[index], decimals_);
  const Chunk& chunk = chunks_[row / k_chunk_rows];
  if (!chunk.exact) return value_of(digits_at(chunk, index), chunk.decimals);
  return scaled(exact_at(chunk, index));
}

std::int32_t Column::digits_at(const Chunk& chunk, std::size_t index) {
  if (chunk.bits > 0) return unpack(chunk.bytes, index, chunk.bits, chunk.base);
  return chunk.missing ? k_missing : chunk.base;
}

float Column::exact_at(const Chunk& chunk, std::size_t index) {
  float value = 0.0F;
  std::memcpy(&value, chunk.bytes + index * sizeof(float), sizeof(float));
  return value;
}

Column Column::turned() const {
  Column turned;
  turned.rescale(scale_, offset_);
  for (std::size_t row = size(); row-- > 0;) {
    const std::size_t index = row % k_chunk_rows;
    const Chunk* chunk = row < sealed_rows() ? &chunks_[row / k_chunk_rows] : nullptr;
    const bool exact = chunk == nullptr ? exact_ : chunk->exact;
    if (exact) {
      const float value = chunk == nullptr ? exact_open_[index] : exact_at(*chunk, index);
      if (std::isnan(value))
        turned.push_missing();
      else
        turned.push_exact(static_cast<double>(value));
      continue;
    }
    const std::int32_t digits = chunk == nullptr ? open_[index] : digits_at(*chunk, index);
    if (digits == k_missing)
      turned.push_missing();
    else
      turned.push_decimal(digits, chunk == nullptr ? decimals_ : chunk->decimals);
  }
  return turned;
}

void Column::read_chunk(std::size_t chunk, std::vector<float>& into) const {
  const std::size_t from = chunk * k_chunk_rows;
  into.resize(std::min(k_chunk_rows, size() - from));
  const bool sealed = from < sealed_rows();
  if (sealed ? chunks_[chunk].exact : exact_) {
    for (std::size_t i = 0; i < into.size(); ++i) into[i] = (*this)[from + i];
    return;
  }
  Digits unpacked;
  const std::int32_t* digits = open_.data();
  std::uint8_t decimals = decimals_;
  if (sealed) {
    const Chunk& packed = chunks_[chunk];
    if (packed.bits > 0)
      unpack_all(packed.bytes, packed.bits, packed.base, unpacked);
    else
      unpacked.fill(packed.missing ? k_missing : packed.base);
    digits = unpacked.data();
    decimals = packed.decimals;
  }
  to_values(std::span(digits, into.size()), k_powers[decimals], scale_, offset_, into);
}

TimeColumn::TimeColumn(std::initializer_list<double> times) {
  for (const double time_s : times) push_back(time_s);
}

TimeColumn& TimeColumn::operator=(const std::vector<double>& times) {
  *this = TimeColumn();
  for (const double time_s : times) push_back(time_s);
  return *this;
}

void TimeColumn::push_times(const double* times, std::size_t count) {
  while (count > 0) {
    if (open_.size() == k_chunk_rows) seal();
    const std::size_t now = std::min(count, k_chunk_rows - open_.size());
    open_.insert(open_.end(), times, times + now);
    times += now;
    count -= now;
  }
}

namespace {

using Ticks = std::array<std::int64_t, TimeColumn::k_chunk_rows>;

/// The times in whole ticks from the lowest; false when they are none, or too far apart for 32
/// bits.
bool in_ticks(const std::vector<double>& times, double ticks_per_s, std::int64_t& base,
              Ticks& ticks) {
  double odd = 0.0;
  double farthest = 0.0;
  for (std::size_t i = 0; i < times.size(); ++i) {
    const double scaled = times[i] * ticks_per_s;
    farthest = std::max(farthest, std::abs(scaled));
    // Clamped, so that the conversion is defined; what is beyond is refused below.
    const double near = std::clamp(scaled, -k_most_ticks, k_most_ticks);
    ticks[i] = static_cast<std::int64_t>(near < 0 ? near - 0.5 : near + 0.5);
    odd += static_cast<double>(ticks[i]) / ticks_per_s == times[i] ? 0.0 : 1.0;
  }
  if (odd > 0.0 || !(farthest < k_most_ticks)) return false;
  const auto [low, high] =
      std::minmax_element(ticks.begin(), ticks.begin() + static_cast<std::ptrdiff_t>(times.size()));
  base = *low;
  if (*high - base > std::numeric_limits<std::uint32_t>::max()) return false;
  for (std::size_t i = 0; i < times.size(); ++i) ticks[i] -= base;
  return true;
}

bool is_even(const Ticks& ticks) {
  const std::int64_t step = ticks[1];
  std::int64_t odd = ticks[0];
  for (std::size_t i = 0; i < ticks.size(); ++i)
    odd |= ticks[i] ^ (step * static_cast<std::int64_t>(i));
  return odd == 0;
}

/// Whole seconds at even steps: the same as by ticks, told sooner.
bool in_even_seconds(const std::vector<double>& times) {
  const double base_s = times[0];
  const double step_s = times[1] - base_s;
  const bool whole = std::trunc(base_s) == base_s && std::trunc(step_s) == step_s &&
                     std::abs(base_s) < k_most_ticks / 4 && std::abs(step_s) < 1e6;
  if (!whole) return false;
  std::size_t odd = 0;
  for (std::size_t i = 0; i < times.size(); ++i)
    odd +=
        times[i] == base_s + step_s * static_cast<double>(static_cast<std::int32_t>(i)) ? 0U : 1U;
  return odd == 0;
}

} // namespace

void TimeColumn::seal() {
  Chunk chunk;
  chunk.kind = Kind::exact;
  if (in_even_seconds(open_)) {
    chunk.kind = Kind::even;
    chunk.base = static_cast<std::int64_t>(open_[0]);
    chunk.step = static_cast<std::int64_t>(open_[1] - open_[0]);
    open_.clear();
    chunks_.push_back(std::move(chunk));
    return;
  }
  Ticks ticks;
  for (const double ticks_per_s : {1.0, 1e3, 1e6}) {
    if (!in_ticks(open_, ticks_per_s, chunk.base, ticks)) continue;
    chunk.ticks_per_s = ticks_per_s;
    chunk.kind = is_even(ticks) ? Kind::even : Kind::ticks;
    break;
  }
  if (chunk.kind == Kind::even)
    chunk.step = ticks[1];
  else if (chunk.kind == Kind::ticks)
    chunk.ticks.assign(ticks.begin(), ticks.end());
  else
    chunk.exact = open_;
  open_.clear();
  chunks_.push_back(std::move(chunk));
}

double TimeColumn::operator[](std::size_t row) const {
  const std::size_t index = row % k_chunk_rows;
  if (row / k_chunk_rows >= chunks_.size()) return open_[index];
  const Chunk& chunk = chunks_[row / k_chunk_rows];
  if (chunk.kind == Kind::exact) return chunk.exact[index];
  const std::int64_t ticks =
      chunk.base + (chunk.kind == Kind::even ? chunk.step * static_cast<std::int64_t>(index)
                                             : std::int64_t{chunk.ticks[index]});
  return static_cast<double>(ticks) / chunk.ticks_per_s;
}

void TimeColumn::read_chunk(std::size_t chunk, std::vector<double>& into) const {
  if (chunk >= chunks_.size()) {
    into = open_;
    return;
  }
  const Chunk& sealed = chunks_[chunk];
  if (sealed.kind == Kind::exact) {
    into = sealed.exact;
    return;
  }
  into.resize(k_chunk_rows);
  // Ticks are whole numbers that a double holds, and so are their sums: several go at a time.
  const auto base = static_cast<double>(sealed.base);
  const auto step = static_cast<double>(sealed.step);
  if (sealed.kind == Kind::even) {
    for (std::size_t i = 0; i < k_chunk_rows; ++i)
      into[i] =
          (base + step * static_cast<double>(static_cast<std::int32_t>(i))) / sealed.ticks_per_s;
  } else {
    for (std::size_t i = 0; i < k_chunk_rows; ++i)
      into[i] = (base + static_cast<double>(sealed.ticks[i])) / sealed.ticks_per_s;
  }
}

} // namespace coolband
