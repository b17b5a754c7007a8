// SPDX-License-Identifier: Apache-2.0
// Two steps: a pass over the bytes that only notes where cells end, then cell after cell, eight
// characters at a time. Nothing is checked cell by cell that can be checked once a record.
#include "import/plain_batch.hpp"

#include "import/column_digits.hpp"
#include "import/number_text.hpp"
#include "import/separator_scan.hpp"

#include <algorithm>
#include <bit>
#include <cstring>
#include <utility>

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

constexpr DigitLayouts k_point_layouts = digit_layouts('.');
constexpr DigitLayouts k_comma_layouts = digit_layouts(',');

constexpr bool k_little_endian = std::endian::native == std::endian::little;
constexpr std::size_t k_longest_number = 17;

/// The patient way, for numbers that are longer, negative or laid out in another way than the last.
bool read_any(std::string_view cell, char mark, PlainDecimal& number) {
  if (cell.size() > k_longest_number) return false;
  std::array<char, k_longest_number + k_cell_padding> text{};
  if (mark == ',') {
    if (cell.find('.') != std::string_view::npos) return false;
    std::replace_copy(cell.begin(), cell.end(), text.begin(), ',', '.');
    cell = {text.data(), cell.size()};
  }
  return read_plain_digits(cell, number) && number.decimals < k_layout_decimals;
}

/// A few rows that are not all alike cost little; where most are, groups are not even tried.
constexpr std::size_t k_longest_wait = 16;

/// Reads columns into a batch, from its next row on.
class ColumnReader {
 public:
  explicit ColumnReader(PlainBatch& batch)
      : batch_(batch), layouts_(batch.mark == ',' ? k_comma_layouts : k_point_layouts) {}

  /// How many of the next `rows` records have plain cells in all columns that are used. `places`
  /// are those of the records' first cells.
  [[gnu::always_inline]] std::size_t read(CellPlaces places, std::size_t rows) {
    const std::uint32_t* const marks = places.marks;
    places.marks = marks + batch_.time_column;
    rows = read_column(places, rows, batch_.time_guess, batch_.time_digits.data() + batch_.rows,
                       batch_.time_decimals.data() + batch_.rows);
    for (PlainBatch::Cells& cells : batch_.cells) {
      places.marks = marks + cells.column;
      rows = read_column(places, rows, cells.guess, cells.digits.data() + batch_.rows,
                         cells.decimals.data() + batch_.rows);
    }
    return rows;
  }

 private:
  /// The first rows whose cells are plain. What is found is the guess for the next cell.
  template <class Digits>
  [[gnu::always_inline]] std::size_t read_column(const CellPlaces& places, std::size_t rows,
                                                 std::uint8_t& guess, Digits* digits,
                                                 std::uint8_t* decimals) {
    std::size_t wait = 0; // groups that are read cell by cell
    std::size_t next_wait = 1;
    for (std::size_t from = 0; from < rows;) {
      const std::size_t to = std::min(from + k_digit_group, rows);
      const bool as_group = k_little_endian && wait == 0 && to - from == k_digit_group;
      if (as_group && read_group(places, from, guess, digits)) {
        std::memset(decimals + from, guess, k_digit_group);
        next_wait = 1;
        from = to;
        continue;
      }
      if (as_group) wait = std::exchange(next_wait, std::min(next_wait * 2, k_longest_wait));
      wait -= wait > 0 ? 1U : 0U;
      for (; from < to; ++from) {
        if (!read_cell(places, from, guess, digits[from])) return from;
        decimals[from] = digits[from] == Column::k_no_digits ? std::uint8_t{0} : guess;
      }
    }
    return rows;
  }

  [[gnu::always_inline]] bool read_group(const CellPlaces& places, std::size_t from,
                                         std::uint8_t guess, std::int32_t* digits) const {
    return read_digit_group(places, from, layouts_[guess], digits + from);
  }
  [[gnu::always_inline]] bool read_group(const CellPlaces& places, std::size_t from,
                                         std::uint8_t guess, std::int64_t* digits) const {
    std::array<std::int32_t, k_digit_group> group;
    if (!read_digit_group(places, from, layouts_[guess], group.data())) return false;
    std::copy(group.begin(), group.end(), digits + from);
    return true;
  }

  template <class Digits>
  bool read_cell(const CellPlaces& places, std::size_t i, std::uint8_t& guess,
                 Digits& digits) const {
    const std::uint32_t begin = places.begin(i);
    const std::string_view cell(places.text + begin, places.end(i) - begin);
    constexpr bool time = sizeof(Digits) == sizeof(std::int64_t);
    if (!time && cell.empty()) {
      digits = Column::k_no_digits;
      return true;
    }
    // Nine characters are a minus and eight others, or nine digits: both fit.
    PlainDecimal number;
    if ((!time && cell.size() > 9) || !read_any(cell, batch_.mark, number)) return false;
    digits = static_cast<Digits>(number.digits);
    guess = number.decimals;
    return true;
  }

  PlainBatch& batch_;
  const DigitLayouts& layouts_;
};

/// Length of the line end at `at`, or 0 when it is none or cut off.
std::size_t line_end(std::string_view text, std::size_t at) {
  if (text[at] == '\n') return 1;
  return text[at] == '\r' && at + 1 < text.size() && text[at + 1] == '\n' ? 2 : 0;
}

/// Such a record is for the slow road.
bool may_be_comment(char first) { return first == '#' || first == '/' || first == ';'; }

} // namespace

PlainScan::PlainScan(char delimiter) : delimiter_(delimiter) {}

/// Many a reader is only made to look at a few records, and never gets here.
void PlainScan::make_room() {
  if (!places_.empty()) return;
  places_.resize(k_slice + 64);
  places_[0] = ~std::uint32_t{0}; // the first cell begins at 0
}

COOLBAND_FOR_EACH_PROCESSOR void PlainScan::index(const char* from, const char* to) {
  const SeparatorScan scan(delimiter_);
  const char* const start = from;
  std::uint32_t* out = places_.data() + 1;
  std::size_t other_marks = 0;
  for (; from < to; from += 64) {
    auto [mask, delimiters] = scan.masks_of(from);
    if (to - from < 64) mask &= (std::uint64_t{1} << (to - from)) - 1;
    other_marks += static_cast<std::size_t>(__builtin_popcountll(mask & ~delimiters));
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
  place_count_ = static_cast<std::size_t>(out - places_.data()) - 1;
  other_marks_ = other_marks;
}

/// The records at the slice's begin that have `width` cells each and the same line end. Where all
/// records of the slice are so, which is nearly always, it is enough to look at their ends: as many
/// marks as there are line ends leave only delimiters for the rest.
std::size_t PlainScan::regular_records(std::string_view slice, std::size_t width,
                                       std::size_t ending) const {
  const std::size_t stride = width + ending - 1;
  const std::size_t all = place_count_ / stride;
  const bool delimiters_between = other_marks_ == all * ending;
  const std::uint32_t* ends = places_.data() + width;
  std::uint32_t begin = 0;
  for (std::size_t row = 0; row < all; ++row, ends += stride) {
    if (line_end(slice, *ends) != ending || may_be_comment(slice[begin])) return row;
    if (!delimiters_between && !is_whole(slice, ends - width + 1, width)) return row;
    begin = *ends + static_cast<std::uint32_t>(ending);
  }
  return all;
}

/// All but the last mark of a record are delimiters.
bool PlainScan::is_whole(std::string_view slice, const std::uint32_t* marks,
                         std::size_t width) const {
  return std::all_of(marks, marks + width - 1,
                     [&](std::uint32_t mark) { return slice[mark] == delimiter_; });
}

COOLBAND_FOR_EACH_PROCESSOR std::size_t PlainScan::read_slice(std::string_view slice,
                                                              PlainBatch& batch) {
  index(slice.data(), slice.data() + slice.size());
  if (place_count_ < batch.width) return 0;
  const std::size_t ending = std::max<std::size_t>(line_end(slice, places_[batch.width]), 1);
  const CellPlaces places{slice.data(), places_.data(), batch.width + ending - 1};
  const std::size_t regular = regular_records(slice, batch.width, ending);
  const std::size_t wanted = std::min(regular, PlainBatch::k_rows - batch.rows);
  const std::size_t plain = ColumnReader(batch).read(places, wanted);
  batch.stopped = plain < wanted || (wanted == regular && regular < place_count_ / places.stride);
  std::size_t used = 0;
  for (std::size_t row = 0; row < plain; ++row) {
    const std::uint32_t end = places_[row * places.stride + batch.width];
    batch.records[batch.rows++] = slice.substr(used, end - used);
    used = end + ending;
  }
  return used;
}

std::size_t PlainScan::read(std::string_view text, PlainBatch& batch) {
  make_room();
  batch.rows = 0;
  batch.stopped = false;
  std::size_t used = 0;
  while (used < text.size() && batch.rows < PlainBatch::k_rows && !batch.stopped) {
    const std::size_t more = read_slice(text.substr(used, k_slice), batch);
    used += more;
    if (more == 0) break;
  }
  return used;
}

} // namespace coolband
