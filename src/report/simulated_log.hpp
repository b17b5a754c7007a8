// SPDX-License-Identifier: Apache-2.0
// A simulated drive as the text of a log: CSV, JSON lines or a JSON array, row by row.
#pragma once

#include "circuit/scenario.hpp"
#include "coolband/core/timestamp.hpp"
#include "coolband/core/units.hpp"
#include "coolband/import/recording.hpp"

#include <optional>
#include <string>
#include <vector>

namespace coolband {

enum class SimulatedFormat { csv, json_lines, json_array };

/// A column with the unit it is written in.
struct LogColumn {
  Role role = Role::coolant;
  Unit unit;
};

/// The roles that a simulated log can have besides time, in their usual order.
std::vector<Role> simulated_roles();

/// °C, %, rpm, km/h, m; or what US instruments show. No unit for the fan, which is 0 or 1.
Unit metric_unit(Role role);
Unit us_unit(Role role);

/// The end of a heading that says the unit ("c", "mph"); none for a unit that is not written.
std::optional<std::string> unit_suffix(const Unit& unit);

struct LogShape {
  SimulatedFormat format = SimulatedFormat::csv;
  std::optional<Clock> clock; ///< none: seconds from 0
  std::vector<LogColumn> columns;
  bool truth = false; ///< add what is true: temperatures in the coolant's unit, heat flows in kW
  Logging logging;    ///< its resolutions and period settle how many decimals are written
};

/// Writes rows to the end of a string. Numbers have a fixed count of decimals, rounded half up; a
/// missing one is an empty cell, or null.
class SimulatedLog {
 public:
  explicit SimulatedLog(const LogShape& shape);

  void begin(std::string& text) const;
  void add(const SimulatedRow& row, std::string& text);
  void end(std::string& text) const;

 private:
  /// How one number is written: (value * scale + offset) with so many decimals.
  struct Field {
    std::string before; ///< the delimiter, with the key in JSON
    double (*value)(const SimulatedRow&);
    double scale = 1.0;
    double offset = 0.0;
    int decimals = 0;
  };

  void add_field(const std::string& heading, Field field);
  void add_column(const LogColumn& column, const Logging& logging);
  void add_truth(const Unit& temperature);
  void add_time(double time_s, std::string& text);

  SimulatedFormat format_;
  std::optional<Clock> clock_;
  int time_decimals_ = 0;
  std::string headings_;
  std::string time_key_;
  std::vector<Field> fields_;
  std::string day_text_; ///< "2031-05-06T", kept from row to row
  long day_ = -1;
  bool first_ = true;
};

} // namespace coolband
