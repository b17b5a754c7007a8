// SPDX-License-Identifier: Apache-2.0
// Two steps: a pass over the bytes that only notes where cells end, then cell after cell, eight
// characters at a time. Nothing is checked cell by cell that can be checked once a record.
#include "import/plain_batch.hpp"

#include "import/number_text.hpp"
#include "import/separator_scan.hpp"

#include <algorithm>
#include <bit>
#include <cstring>

// Where the compiler can, the two hot functions are built twice, for processors with and without
// the bit instructions of 2013; both give the same whole numbers.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) &&                             \
    !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define COOLBAND_FOR_EACH_PROCESSOR __attribute__((target_clones("arch=x86-64-v3", "default")))
#else
#define COOLBAND_FOR_EACH_PROCESSOR
#endif

namespace coolband {

namespace {

/// Bytes whose separators are noted at a time: they and the notes stay in the first-level cache.
constexpr std::size_t k_slice = std::size_t{16} * 1024;

/// What eight bytes must be to spell a decimal of a given length and point, and how to close up the
/// point. The cell's last character is the highest byte.
struct Layout {
  std::uint64_t pattern = 0; ///< '0' where a digit stands, '.' for the point
  std::uint64_t limit = 0;   ///< added to what differs from the pattern, it sets a byte's top bit
                             ///< unless there is a digit, or the point
  std::uint64_t behind = 0;  ///< bytes behind the point
  std::uint64_t before = 0;  ///< bytes before it
};
constexpr std::size_t k_layout_decimals = 8;

constexpr Layout layout_of(std::size_t size, std::size_t decimals, char mark) {
  Layout layout;
  // A point needs a digit on both sides; a pattern of ones matches nothing that is a number.
  if (size == 0 || (decimals > 0 && decimals + 2 > size)) return {~std::uint64_t{0}, 0, 0, 0};
  for (std::size_t i = 0; i < size; ++i) {
    const std::size_t shift = 8 * (7 - i); // i characters from the end
    const bool point = decimals > 0 && i == decimals;
    layout.pattern |= std::uint64_t{static_cast<std::uint8_t>(point ? mark : '0')} << shift;
    layout.limit |= std::uint64_t{point ? 0x7FU : 0x76U} << shift;
    if (decimals == 0 || i < decimals) layout.behind |= std::uint64_t{0xFF} << shift;
    if (decimals > 0 && i > decimals) layout.before |= std::uint64_t{0xFF} << shift;
  }
  return layout;
}

using Layouts = std::array<std::array<Layout, k_layout_decimals>, 9>;

constexpr Layouts layouts_for(char mark) {
  Layouts layouts{};
  for (std::size_t size = 0; size < layouts.size(); ++size) {
    for (std::size_t d = 0; d < k_layout_decimals; ++d) layouts[size][d] = layout_of(size, d, mark);
  }
  return layouts;
}

constexpr Layouts k_point_layouts = layouts_for('.');
constexpr Layouts k_comma_layouts = layouts_for(',');

/// The number in a cell of up to eight characters that is laid out so; false when it is not. One
/// comparison checks all characters, three multiplications add the digits up (common practice, no
/// source).
[[gnu::always_inline]] inline bool read_laid_out(const char* at, std::size_t size,
                                                 const Layout& layout, std::uint32_t& digits) {
  std::uint64_t text = 0;
  std::memcpy(&text, at, sizeof text);
  text = (text << (8 * (8 - size) & 63U)) ^ layout.pattern;
  if ((((text + layout.limit) | text) & 0x8080808080808080U) != 0) return false;
  text = (text & layout.behind) | ((text & layout.before) << 8);
  text = (text * 2561) >> 8;
  text = ((text & 0x00FF00FF00FF00FFU) * 6553601) >> 16;
  text = ((text & 0x0000FFFF0000FFFFU) * 42949672960001U) >> 32;
  digits = static_cast<std::uint32_t>(text);
  return true;
}

constexpr bool k_little_endian = std::endian::native == std::endian::little;
constexpr std::size_t k_longest_number = 17;

/// The patient way, for numbers that are longer, negative or laid out in another way than the last.
bool read_any(std::string_view cell, char mark, PlainDecimal& number) {
  std::array<char, k_longest_number + k_cell_padding> text{};
  if (cell.size() > k_longest_number) return false;
  for (std::size_t i = 0; i < cell.size(); ++i) {
    if (mark == ',' && cell[i] == '.') return false;
    text[i] = cell[i] == mark ? '.' : cell[i];
  }
  return read_plain_digits({text.data(), cell.size()}, number) &&
         number.decimals < k_layout_decimals;
}

/// Reads one record whose cells end at `ends[0..width)`. False when a cell is not plain.
class RecordReader {
 public:
  RecordReader(const char* text, char delimiter, PlainBatch& batch)
      : text_(text), delimiter_(delimiter), batch_(batch),
        layouts_(batch.mark == ',' ? k_comma_layouts : k_point_layouts) {}

  [[gnu::always_inline]] bool read(std::size_t begin, const std::uint32_t* ends) {
    if (!is_whole(ends)) return false;
    const char first = text_[begin];
    if (first == '#' || first == '/' || first == ';') return false; // may be a comment
    const std::size_t row = batch_.rows;
    if (!read_time(cell(begin, ends, batch_.time_column), row)) return false;
    for (PlainBatch::Cells& cells : batch_.cells) {
      if (!read_cell(cell(begin, ends, cells.column), cells, row)) return false;
    }
    return true;
  }

 private:
  /// All but the last separator are delimiters.
  [[nodiscard]] [[gnu::always_inline]] bool is_whole(const std::uint32_t* ends) const {
    unsigned odd = 0;
    for (std::size_t i = 0; i + 1 < batch_.width; ++i)
      odd |= static_cast<unsigned char>(text_[ends[i]]) ^ static_cast<unsigned char>(delimiter_);
    return odd == 0;
  }

  [[nodiscard]] [[gnu::always_inline]] std::string_view
  cell(std::size_t begin, const std::uint32_t* ends, std::size_t column) const {
    const std::size_t from = column == 0 ? begin : ends[column - 1] + std::size_t{1};
    return {text_ + from, ends[column] - from};
  }

  [[gnu::always_inline]] bool read_time(std::string_view cell, std::size_t row) {
    if (!read_digits(cell, batch_.time_guess, batch_.time_digits[row])) return false;
    batch_.time_decimals[row] = batch_.time_guess;
    return true;
  }

  [[gnu::always_inline]] bool read_cell(std::string_view cell, PlainBatch::Cells& cells,
                                        std::size_t row) {
    if (cell.empty()) {
      cells.digits[row] = Column::k_no_digits;
      cells.decimals[row] = 0;
      return true;
    }
    // Nine characters are a minus and eight others, or nine digits: both fit.
    std::int64_t digits = 0;
    if (cell.size() > 9 || !read_digits(cell, cells.guess, digits)) return false;
    cells.digits[row] = static_cast<std::int32_t>(digits);
    cells.decimals[row] = cells.guess;
    return true;
  }

  /// Any plain decimal; what is found is the guess for the next cell.
  [[gnu::always_inline]] bool read_digits(std::string_view cell, std::uint8_t& guess,
                                          std::int64_t& digits) {
    std::uint32_t small = 0;
    if (k_little_endian && cell.size() <= 8 &&
        read_laid_out(cell.data(), cell.size(), layouts_[cell.size()][guess], small)) {
      digits = small;
      return true;
    }
    PlainDecimal number;
    if (!read_any(cell, batch_.mark, number)) return false;
    digits = number.digits;
    guess = number.decimals;
    return true;
  }

  const char* text_;
  char delimiter_;
  PlainBatch& batch_;
  const Layouts& layouts_;
};

/// Length of the line end at `at`, or 0 when it is none or cut off.
std::size_t line_end(std::string_view text, std::size_t at) {
  if (text[at] == '\n') return 1;
  return text[at] == '\r' && at + 1 < text.size() && text[at + 1] == '\n' ? 2 : 0;
}

} // namespace

PlainScan::PlainScan(char delimiter) : delimiter_(delimiter), places_(k_slice + 64) {}

COOLBAND_FOR_EACH_PROCESSOR void PlainScan::index(const char* from, const char* to) {
  SeparatorScan scan(delimiter_);
  const char* const start = from;
  std::uint32_t* out = places_.data();
  for (; from < to; from += 64) {
    std::uint64_t mask = scan.mask_of(from);
    if (to - from < 64) mask &= (std::uint64_t{1} << (to - from)) - 1;
    const auto base = static_cast<std::uint32_t>(from - start);
    const int count = __builtin_popcountll(mask);
    // Twelve at once whether needed or not, so that hardly a branch depends on the text.
    for (int i = 0; i < 12; ++i) {
      out[i] = base + static_cast<std::uint32_t>(std::countr_zero(mask));
      mask &= mask - 1;
    }
    for (int i = 12; i < count; ++i) {
      out[i] = base + static_cast<std::uint32_t>(std::countr_zero(mask));
      mask &= mask - 1;
    }
    out += count;
  }
  place_count_ = static_cast<std::size_t>(out - places_.data());
}

COOLBAND_FOR_EACH_PROCESSOR std::size_t PlainScan::read(std::string_view text, PlainBatch& batch) {
  batch.rows = 0;
  batch.stopped = false;
  std::size_t used = 0;
  while (used < text.size() && batch.rows < PlainBatch::k_rows) {
    const std::string_view slice = text.substr(used, k_slice);
    index(slice.data(), slice.data() + slice.size());
    RecordReader reader(slice.data(), delimiter_, batch);
    std::size_t begin = 0;
    std::size_t place = 0;
    bool plain = true;
    while (batch.rows < PlainBatch::k_rows && place + batch.width <= place_count_) {
      const std::uint32_t end = places_[place + batch.width - 1];
      const std::size_t ending = line_end(slice, end);
      plain = ending != 0 && reader.read(begin, places_.data() + place);
      if (!plain) break;
      batch.records[batch.rows++] = slice.substr(begin, end - begin);
      place += batch.width + ending - 1;
      begin = end + ending;
    }
    used += begin;
    batch.stopped = !plain;
    if (!plain || begin == 0) break;
  }
  return used;
}

} // namespace coolband
