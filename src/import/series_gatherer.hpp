// SPDX-License-Identifier: Apache-2.0
// From rows of a long table, of a sparse one or of raw frames to one series a signal.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/import/import_log.hpp"
#include "import/clock_format.hpp"
#include "import/columns.hpp"
#include "import/row.hpp"
#include "import/row_collector.hpp"
#include "import/series.hpp"
#include "import/table_head.hpp"
#include "import/table_shape.hpp"

#include <deque>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace coolband {

class SeriesGatherer {
 public:
  /// `wide` is the plan of the columns of a sparse table; empty for the other shapes.
  SeriesGatherer(const TableHead& head, const ShapePlan& shape, const ClockFormat& clock,
                 const ColumnPlan* wide, const ImportOptions& options);

  void add(const Row& row);
  [[nodiscard]] const std::optional<Offender>& first_offender() const { return offender_; }
  /// The signals seen, as the headings, units and first cells of a table: its first column is the
  /// time. The usual rules choose among them.
  [[nodiscard]] TableHead signals() const;
  /// Rows made of the signals that `plan` (over `signals()`) chose; values in the signals' units,
  /// turned into coolband's where a unit is known.
  Recording finish(const ColumnPlan& plan);

 private:
  struct Signal {
    Series series;
    std::size_t column = 0;                ///< in the table that the plan is made over
    std::optional<HeadingReading> meaning; ///< known from a standard, not from the name
    bool text = false;
    std::vector<std::string> first_cells;
  };
  /// How values of one name and unit go into their signal.
  struct Slot {
    std::size_t signal = 0;
    bool used = false; ///< false: the name means nothing
    double scale = 1.0;
    double offset = 0.0;
  };

  bool read_time(const Row& row, double& time_s);
  void add_long(const Row& row, double time_s);
  void add_sparse(const Row& row, double time_s);
  void add_frame(const Row& row, double time_s);
  bool add_cell(Signal& signal, const Slot& slot, std::string_view cell, double time_s);
  bool add_sample(Signal& signal, float value, double time_s);
  void count_no_value(Signal& signal, NoValue kind);
  void set_aside(const Row& row, const std::string& reason);
  const Slot& slot_of(std::string_view name, std::string_view unit);
  Slot make_slot(const std::string& name, const std::string& unit);
  Signal& signal_of(const FrameValue& value);
  bool is_wanted(const std::string& name) const;
  Signal& new_signal(std::string name, std::string unit);
  void report_no_values(Role role, const Series& series);
  void count_from_first_row();
  void note_frames();

  const TableHead& head_;
  ShapePlan shape_;
  ClockFormat clock_;
  const ImportOptions& options_;
  std::deque<Signal> signals_; ///< a deque: references stay good while it grows
  std::unordered_map<std::string, Slot> slots_;
  std::string key_; ///< of the slot looked up; kept to spare the allocation
  std::unordered_map<std::uint64_t, std::size_t> frame_signals_;
  std::vector<FrameValue> frame_values_;
  SeriesClock series_clock_;
  RowMap places_;
  Recording recording_;
  std::optional<Offender> offender_;
  bool started_ = false;
  std::size_t row_ = 0;
  std::size_t line_ = 0;
  std::size_t unknown_frames_ = 0;
  double added_s_ = 0.0;
  double last_s_ = 0.0;
};

} // namespace coolband
