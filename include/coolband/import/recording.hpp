// SPDX-License-Identifier: Apache-2.0
// A log as columns in coolband's own units, with the story of how it was read.
#pragma once

#include "coolband/core/timestamp.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
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
};
inline constexpr std::size_t k_role_count = 14;

std::string_view name_of(Role role);
std::optional<Role> role_named(std::string_view name);

/// How one column was understood.
struct ColumnReading {
  Role role = Role::time;
  std::string heading;     ///< as the log spells it
  std::size_t column = 0;  ///< 1-based position; 0 for a constant given by the user
  std::string unit;        ///< the unit the log was read in, e.g. "°F"; empty for text
  std::string unit_origin; ///< "heading", "units row", "given", "values" or "assumed"
};

/// Rows (or single cells) that were not used, by reason. Rows count from 1, headings not counted.
struct SetAside {
  std::string reason;
  std::size_t count = 0;
  std::size_t first_row = 0;
  std::size_t first_line = 0; ///< line in the file; 0 when the format has none
};

struct HowRead {
  std::string format;       ///< "csv", "json array", "json lines" or "json columns"
  std::string delimiter;    ///< "comma", "semicolon", "tab", "pipe"; empty for JSON
  bool decimal_comma = false;
  std::string clock;        ///< in words, e.g. "seconds", "milliseconds", "ISO 8601", "clock time"
  std::size_t header_line = 0; ///< 0 when the format has none
  std::vector<ColumnReading> columns;   ///< in the order of Role
  std::vector<std::string> ignored;     ///< headings that were not used
  std::vector<SetAside> set_aside;      ///< whole rows
  std::vector<SetAside> missing_cells;  ///< single cells of otherwise good rows
  std::vector<std::string> notes;       ///< every assumption and complaint, for a person
  std::size_t rows = 0;                 ///< data rows in the input, good or bad
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
  [[nodiscard]] Place at(std::size_t index) const;

 private:
  struct Jump {
    std::size_t index;
    Place place;
    std::size_t line_step; ///< lines from one row to the next: 1 in CSV, any in JSON
  };
  bool continues(Place place);

  std::vector<Jump> jumps_;
  std::size_t next_ = 0;
};

/// A place where a text column (trip, vehicle) takes a new value, from `index` on.
struct TextChange {
  std::size_t index = 0;
  Role role = Role::trip;
  std::string text;
};

/// Rows keep the order and the index they have here through every later stage.
/// All columns that are present are as long as `time_s`; NaN marks a value that is missing.
struct Recording {
  std::string source; ///< file name as given, or "-"
  HowRead how;
  Clock clock;
  std::vector<double> time_s; ///< s since the first kept row; may step back (clock reset)
  std::array<std::vector<float>, k_role_count> values; ///< by Role; empty when absent
  std::vector<TextChange> text_changes;
  RowMap row_map;

  [[nodiscard]] std::size_t size() const { return time_s.size(); }
  [[nodiscard]] const std::vector<float>& column(Role role) const {
    return values[static_cast<std::size_t>(role)];
  }
  [[nodiscard]] std::vector<float>& column(Role role) {
    return values[static_cast<std::size_t>(role)];
  }
  [[nodiscard]] bool has(Role role) const { return !column(role).empty(); }
};

} // namespace coolband
