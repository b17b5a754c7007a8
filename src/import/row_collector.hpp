// SPDX-License-Identifier: Apache-2.0
// From rows of text to the columns of a Recording; what cannot be used is counted.
#pragma once

#include "coolband/import/recording.hpp"
#include "import/clock_format.hpp"
#include "import/clock_watch.hpp"
#include "import/columns.hpp"
#include "import/row.hpp"
#include "import/table_head.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace coolband {

/// The first row that was set aside, kept to be shown when too many are.
struct Offender {
  std::size_t line = 0;
  std::string text;
  std::string reason;
};

class RowCollector {
 public:
  RowCollector(const TableHead& head, const ColumnPlan& plan, const ClockFormat& clock);

  void add(const Row& row);
  /// Says what a batch has to hold. False when rows can only be added one by one.
  bool prepare(PlainBatch& batch) const;
  /// The same as adding the rows one by one. To be called only when `takes_batches`.
  void add(const PlainBatch& batch);
  /// True once after the columns have changed places: `prepare` is to be called again.
  bool take_columns_moved() { return std::exchange(columns_moved_, false); }
  [[nodiscard]] bool takes_batches() const {
    return !recording_.time_s.empty() && foreign_line_ == 0;
  }

  [[nodiscard]] const std::optional<Offender>& first_offender() const { return offender_; }
  /// The recording with columns as they were read: in the stated unit's own unit, in °C, %, km/h.
  Recording finish();

 private:
  struct NumberColumn {
    Role role;
    std::size_t index;
    Column* values;
    std::optional<std::size_t> missing_slot;
    std::optional<std::size_t> garbled_slot;
  };
  struct TextColumn {
    Role role;
    std::size_t index;
    std::string last;
    bool seen = false;
  };

  /// A row put by until the next one tells whether its time is right.
  struct HeldRow {
    std::size_t row = 0;
    std::size_t line = 0;
    std::string bytes;
    std::vector<std::size_t> ends; ///< of the cells in `bytes`
  };

  bool fits(const Row& row);
  bool is_heading(const Row& row) const;
  bool is_same_heading(const Row& row) const;
  void follow_heading(const Row& row);
  std::optional<std::size_t> place_in(const Row& row, std::size_t column) const;
  bool read_row_time(const Row& row, double& clock_s);
  void odd_time(const Row& row, TimeFate fate);
  void hold(const Row& row);
  void settle_held(bool keep);
  bool read_number(std::string_view cell, Role role, double& value) const;
  bool read_odd_number(std::string_view cell, Role role, double& value) const;
  void keep(const Row& row);
  double next_time_s();
  [[nodiscard]] double time_s_of(double now_s) const;
  void read_batch_clock(const PlainBatch& batch);
  void add_record(std::string_view record, std::size_t line);
  void keep_plain(const PlainBatch& batch, std::size_t from, std::size_t to);
  void keep_plain_cells(NumberColumn& column, const PlainBatch::Cells& cells, std::size_t from,
                        std::size_t to);
  void keep_mixed_cells(Column& values, const PlainBatch::Cells& cells, std::size_t from,
                        std::size_t to);
  void store(NumberColumn& column, bool read, double value, std::string_view cell,
             std::size_t line);
  void note_text(const Row& row, TextColumn& column);
  void set_aside(const Row& row, const std::string& reason);
  void unread_time(const Row& row);
  void count_cell(std::optional<std::size_t>& slot, Role role, std::string_view what,
                  std::size_t line);

  const TableHead& head_;
  const ColumnPlan& plan_;
  ClockFormat clock_;
  std::size_t width_;
  std::size_t time_column_;
  std::size_t date_column_;
  bool plain_point_;
  Recording recording_;
  std::vector<NumberColumn> numbers_; ///< coolant first
  std::vector<TextColumn> texts_;
  bool columns_moved_ = false;
  std::size_t foreign_line_ = 0; ///< of headings that the rows now stand under and that are others
  std::optional<Offender> offender_;
  std::size_t row_ = 0;
  std::array<double, PlainBatch::k_rows> batch_clock_{};
  std::array<double, PlainBatch::k_rows> batch_times_{};
  std::array<std::int32_t, PlainBatch::k_rows> raised_{};
  std::size_t batch_line_ = 0; ///< line of the first row of the batch
  std::vector<std::string_view> record_cells_;
  ClockWatch watch_;
  std::optional<HeldRow> held_;
  int offset_min_ = 0; ///< of the zone of the last time read
  bool plain_clock_;   ///< times are most often plain decimals
};

} // namespace coolband
