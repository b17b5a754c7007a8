// SPDX-License-Identifier: Apache-2.0
// From rows of text to the columns of a Recording; what cannot be used is counted.
#pragma once

#include "coolband/import/recording.hpp"
#include "import/clock_format.hpp"
#include "import/columns.hpp"
#include "import/row.hpp"
#include "import/table_head.hpp"

#include <optional>
#include <string>
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
  /// The same as adding the rows one by one. To be called only when a row is kept already.
  void add(const PlainBatch& batch);
  [[nodiscard]] bool has_rows() const { return !recording_.time_s.empty(); }

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

  bool fits(const Row& row);
  bool read_row_time(const Row& row, double& time_s);
  bool in_order(double& time_s);
  bool read_number(std::string_view cell, Role role, double& value) const;
  bool read_odd_number(std::string_view cell, Role role, double& value) const;
  void keep(const Row& row, double time_s);
  double time_of(const PlainDecimal& number) const;
  void keep_plain(const PlainBatch& batch, std::size_t from, std::size_t to);
  void keep_plain_cells(NumberColumn& column, const PlainBatch::Cells& cells, std::size_t from,
                        std::size_t to);
  void store(NumberColumn& column, bool read, double value, std::string_view cell,
             std::size_t line);
  void note_text(const Row& row, TextColumn& column);
  void set_aside(const Row& row, const std::string& reason);
  void unread_time(const Row& row);
  void count_cell(std::optional<std::size_t>& slot, Role role, std::string_view what,
                  std::size_t line);

  const TableHead& head_;
  ClockFormat clock_;
  std::size_t time_column_;
  std::size_t date_column_;
  bool plain_point_;
  Recording recording_;
  std::vector<NumberColumn> numbers_; ///< coolant first
  std::vector<TextColumn> texts_;
  std::optional<Offender> offender_;
  std::size_t row_ = 0;
  double last_time_s_ = 0.0;
  double added_s_ = 0.0;
  std::array<double, PlainBatch::k_rows> batch_times_{};
  std::size_t batch_line_ = 0; ///< line of the first row of the batch
  std::size_t clock_resets_ = 0;
  std::size_t wraps_ = 0;
};

} // namespace coolband
