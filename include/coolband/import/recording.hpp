// SPDX-License-Identifier: Apache-2.0
// A log as columns in coolband's own units, with the story of how it was read.
#pragma once

#include "coolband/core/timestamp.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <iterator>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coolband {

/// What a column means. The names are part of the contract (`name_of`).
enum class Role {
  time,
  coolant,  ///< °C
  ambient,  ///< outside air, °C
  intake,   ///< intake air, °C
  load,     ///< engine load, %
  rpm,      ///< engine speed, 1/min
  speed,    ///< road speed, km/h
  throttle, ///< %
  oil,      ///< engine oil, °C
  altitude, ///< m
  fan,      ///< %, or 0/1
  heater,   ///< 0/1
  trip,     ///< text: a change starts a new trip
  vehicle,  ///< text: a change starts a new trip
  // The rest says what a cell of a long table or of raw frames is; a recording has no such columns.
  signal,     ///< name of the signal whose value stands in the row
  value,      ///< value of that signal
  unit,       ///< unit of that value
  identifier, ///< CAN identifier, PGN or PID of a raw frame, hexadecimal
  frame,      ///< bytes of a raw frame, hexadecimal
};
inline constexpr std::size_t k_role_count = 14;     ///< roles of a recording's columns
inline constexpr std::size_t k_any_role_count = 19; ///< with the roles of cells

std::string_view name_of(Role role);
std::optional<Role> role_named(std::string_view name);

/// How one column was understood.
struct ColumnReading {
  Role role = Role::time;
  std::string heading;     ///< as the log spells it
  std::size_t column = 0;  ///< 1-based position; 0 for a constant given by the user
  std::string unit;        ///< the unit the log was read in, e.g. "°F"; empty for text
  std::string unit_origin; ///< heading, units row, unit column, standard, given, values, assumed
};

/// Rows (or single cells) that were not used, by reason. Rows count from 1, headings not counted.
struct SetAside {
  std::string reason;
  std::size_t count = 0;
  std::size_t first_row = 0;
  std::size_t first_line = 0; ///< line in the file; 0 when the format has none
};

struct HowRead {
  std::string format;      ///< "csv", "json array", "json lines", "json columns" or "json rows"
  std::string compression; ///< "gzip", or empty
  std::string encoding;    ///< "ASCII", "UTF-8", "UTF-16" or "Latin-1"
  std::string shape;       ///< "wide", "long", "SAE J1979 frames" or "SAE J1939 frames"
  std::string delimiter;   ///< "comma", "semicolon", "tab", "pipe"; empty for JSON
  bool decimal_comma = false;
  std::string clock; ///< in words, e.g. "seconds", "milliseconds", "ISO 8601", "clock time"
  std::size_t header_line = 0;         ///< 0 when the format has none
  std::vector<ColumnReading> columns;  ///< in the order of Role
  std::vector<std::string> ignored;    ///< headings that were not used
  std::vector<SetAside> set_aside;     ///< whole rows
  std::vector<SetAside> missing_cells; ///< single cells of otherwise good rows
  std::vector<SetAside> clock_events;  ///< duplicates, steps back, jumps and holes of the clock
  std::vector<std::string> notes;      ///< every assumption and complaint, for a person
  std::size_t rows = 0;                ///< data rows in the input, good or bad
};

/// Goes over a column by value.
template <class Store, class Value>
class RowIterator {
 public:
  using iterator_category = std::input_iterator_tag;
  using value_type = Value;
  using difference_type = std::ptrdiff_t;
  using pointer = const Value*;
  using reference = Value;

  RowIterator(const Store& store, std::size_t row) : store_(&store), row_(row) {}
  Value operator*() const { return (*store_)[row_]; }
  RowIterator& operator++() {
    ++row_;
    return *this;
  }
  RowIterator operator++(int) { return {*store_, row_++}; }
  bool operator==(const RowIterator& other) const { return row_ == other.row_; }

 private:
  const Store* store_;
  std::size_t row_;
};

/// Memory for columns, taken in ever larger pieces and given back as a whole: touching fresh memory
/// page by page costs more than parsing what goes into it. Not for use by several threads at once.
class ColumnStore {
 public:
  /// `count` bytes that stay in place until the store goes.
  std::byte* take(std::size_t count);

 private:
  std::vector<std::shared_ptr<std::byte>> pieces_;
  std::byte* next_ = nullptr;
  std::size_t left_ = 0;
  std::size_t piece_ = 0; ///< bytes of the last piece
};

/// Numbers by row, exactly as they were put in (to a float), in about ten bits each: runs of
/// `k_chunk_rows` are kept as whole numbers of a common decimal, with as many bits as they need.
/// NaN marks a value that is missing.
class Column {
 public:
  static constexpr std::size_t k_chunk_rows = 4096;
  /// Stands for a missing value among digits.
  static constexpr std::int32_t k_no_digits = std::numeric_limits<std::int32_t>::min();

  Column() = default;
  explicit Column(const std::vector<float>& values) { *this = values; }
  Column(std::initializer_list<float> values);
  Column& operator=(const std::vector<float>& values);
  Column& operator=(std::initializer_list<float> values) { return *this = Column(values); }

  void push_back(float value) { push(static_cast<double>(value)); }
  /// The same without rounding to a float first.
  void push(double value);
  /// digits / 10^decimals, for `decimals` up to 9.
  void push_decimal(std::int32_t digits, std::uint8_t decimals) {
    if (decimals != decimals_ || exact_ || open_.size() == k_chunk_rows) {
      push_odd(digits, decimals);
    } else {
      open_.push_back(digits);
    }
  }
  void push_missing();
  /// Where the bytes of this column go; a column has a store of its own otherwise. Copies of a
  /// column share the store.
  void keep_in(std::shared_ptr<ColumnStore> store) { store_ = std::move(store); }
  /// `count` values of the same number of decimals at once; `k_no_digits` is a missing one.
  void push_decimals(const std::int32_t* digits, std::size_t count, std::uint8_t decimals);
  /// Takes the last row back.
  void pop_back();
  void assign(std::size_t rows, float value);
  /// The same rows from the last to the first.
  [[nodiscard]] Column turned() const;
  /// Reads every value as value * scale + offset from now on (once: a unit that was settled late).
  void rescale(double scale, double offset);

  [[nodiscard]] std::size_t size() const { return sealed_rows() + open_rows(); }
  [[nodiscard]] bool empty() const { return size() == 0; }
  [[nodiscard]] float operator[](std::size_t row) const;
  [[nodiscard]] float back() const { return (*this)[size() - 1]; }
  /// The values of chunk `chunk` (rows from chunk * k_chunk_rows on), for a pass over all rows.
  void read_chunk(std::size_t chunk, std::vector<float>& into) const;

  using Iterator = RowIterator<Column, float>;
  [[nodiscard]] Iterator begin() const { return {*this, 0}; }
  [[nodiscard]] Iterator end() const { return {*this, size()}; }
  bool operator==(const Column& other) const {
    return std::equal(begin(), end(), other.begin(), other.end());
  }
  bool operator==(const std::vector<float>& values) const {
    return std::equal(begin(), end(), values.begin(), values.end());
  }

 private:
  struct Chunk {
    std::uint8_t bits = 0; ///< of each number above `base`; all ones mark a missing value
    bool exact = false;    ///< floats instead
    bool missing = false;  ///< with no bits: every value is missing
    std::uint8_t decimals = 0;
    std::int32_t base = 0;
    std::byte* bytes = nullptr; ///< in `store_`
  };

  [[nodiscard]] std::size_t sealed_rows() const { return chunks_.size() * k_chunk_rows; }
  [[nodiscard]] std::size_t open_rows() const { return exact_ ? exact_open_.size() : open_.size(); }
  [[nodiscard]] float value_of(std::int32_t digits, std::uint8_t decimals) const;
  static std::int32_t digits_at(const Chunk& chunk, std::size_t index);
  static float exact_at(const Chunk& chunk, std::size_t index);
  void push_odd(std::int32_t digits, std::uint8_t decimals);
  void push_exact(double value);
  bool raise_decimals(std::uint8_t decimals);
  void go_exact();
  void seal();
  std::byte* take(std::size_t count);

  std::shared_ptr<ColumnStore> store_;
  std::vector<Chunk> chunks_;
  std::vector<std::int32_t> open_; ///< the rows behind the last whole chunk
  std::uint8_t decimals_ = 0;      ///< of `open_`
  bool exact_ = false;             ///< the open rows are in `exact_open_`
  std::vector<float> exact_open_;
  double scale_ = 1.0;
  double offset_ = 0.0;
};

/// Times by row in s, exactly as they were put in; an even clock takes no memory.
class TimeColumn {
 public:
  static constexpr std::size_t k_chunk_rows = 4096;

  TimeColumn() = default;
  TimeColumn(std::initializer_list<double> times);
  TimeColumn& operator=(const std::vector<double>& times);
  TimeColumn& operator=(std::initializer_list<double> times) { return *this = TimeColumn(times); }

  void push_back(double time_s) {
    if (open_.size() == k_chunk_rows) seal();
    open_.push_back(time_s);
  }
  void push_times(const double* times, std::size_t count);
  /// Takes the last row back.
  void pop_back() { open_.pop_back(); }

  [[nodiscard]] std::size_t size() const { return chunks_.size() * k_chunk_rows + open_.size(); }
  [[nodiscard]] bool empty() const { return size() == 0; }
  [[nodiscard]] double operator[](std::size_t row) const;
  [[nodiscard]] double front() const { return (*this)[0]; }
  /// The times of chunk `chunk`, for a pass over all rows.
  void read_chunk(std::size_t chunk, std::vector<double>& into) const;
  using Iterator = RowIterator<TimeColumn, double>;
  [[nodiscard]] Iterator begin() const { return {*this, 0}; }
  [[nodiscard]] Iterator end() const { return {*this, size()}; }
  [[nodiscard]] double back() const { return (*this)[size() - 1]; }
  bool operator==(const TimeColumn& other) const {
    return std::equal(begin(), end(), other.begin(), other.end());
  }
  bool operator==(const std::vector<double>& times) const {
    return std::equal(begin(), end(), times.begin(), times.end());
  }

 private:
  enum class Kind : std::uint8_t { even, ticks, exact };
  struct Chunk {
    Kind kind = Kind::even;
    double ticks_per_s = 1.0;
    std::int64_t base = 0; ///< ticks
    std::int64_t step = 0; ///< ticks, of an even chunk
    std::vector<std::uint32_t> ticks;
    std::vector<double> exact;
  };
  void seal();

  std::vector<Chunk> chunks_;
  std::vector<double> open_;
};

/// Which row and line of the input each kept row was: a sparse list of even runs. A line of 0 means
/// that the format has no lines.
class RowMap {
 public:
  struct Place {
    std::size_t row = 0;  ///< 1-based data row of the input
    std::size_t line = 0; ///< 1-based line of the input
  };
  /// To be called once for each kept row, in order.
  void add(Place place);
  /// `count` rows, each in a line of its own.
  void add_lines(Place first, std::size_t count);
  [[nodiscard]] Place at(std::size_t index) const;
  /// The last row is the first from now on; no more rows may be added then.
  void turn_round() { turned_ = !turned_; }

 private:
  struct Jump {
    std::size_t index;
    Place place;
    std::size_t line_step; ///< lines from one row to the next: 1 in CSV, any in JSON
  };
  bool continues(Place place);

  std::vector<Jump> jumps_;
  std::size_t next_ = 0;
  bool turned_ = false;
};

/// A place where a text column (trip, vehicle) takes a new value, from `index` on.
struct TextChange {
  std::size_t index = 0;
  Role role = Role::trip;
  std::string text;
};

/// Rows keep the order and the index they have here through every later stage.
/// All columns that are present are as long as `time_s`.
struct Recording {
  std::string source; ///< file name as given, or "-"
  HowRead how;
  Clock clock;
  TimeColumn time_s; ///< s since the first kept row; may step back (clock reset)
  std::array<Column, k_role_count> values; ///< by Role; empty when absent
  std::vector<TextChange> text_changes;
  RowMap row_map;

  [[nodiscard]] std::size_t size() const { return time_s.size(); }
  [[nodiscard]] const Column& column(Role role) const {
    return values[static_cast<std::size_t>(role)];
  }
  [[nodiscard]] Column& column(Role role) { return values[static_cast<std::size_t>(role)]; }
  [[nodiscard]] bool has(Role role) const { return !column(role).empty(); }
};

} // namespace coolband
