// SPDX-License-Identifier: Apache-2.0
// The loop that every row goes through; only the columns that play a role are converted.
#include "import/row_collector.hpp"

#include "import/heading.hpp"
#include "import/vocabulary.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/core.h>

namespace coolband {

namespace {

// A smaller step back is a row out of order; a larger one is a clock that was set anew.
constexpr double k_out_of_order_s = 60.0;

bool is_blank(std::string_view cell) { return trimmed(cell).empty(); }

std::string joined(const Row& row, char delimiter) {
  std::string text;
  for (const std::string_view cell : row.cells) {
    if (!text.empty()) text += delimiter;
    text += cell;
    if (text.size() > 300) break;
  }
  return as_utf8(text);
}

void count(std::vector<SetAside>& list, const std::string& reason, std::size_t row,
           std::size_t line) {
  for (SetAside& entry : list) {
    if (entry.reason == reason) {
      ++entry.count;
      return;
    }
  }
  list.push_back({reason, 1, row, line});
}

} // namespace

RowCollector::RowCollector(const TableHead& head, const ColumnPlan& plan, const ClockFormat& clock)
    : head_(head), clock_(clock), time_column_(plan.of(Role::time)->index),
      date_column_(clock.joined ? *plan.date : head.width),
      plain_point_(head.numbers.point && !head.numbers.point_groups) {
  for (std::size_t i = 0; i < k_role_count; ++i) {
    const auto role = static_cast<Role>(i);
    const auto& use = plan.of(role);
    if (!use || role == Role::time) continue;
    if (role == Role::trip || role == Role::vehicle) {
      texts_.push_back({role, use->index, {}});
      continue;
    }
    const double scale = use->unit ? use->unit->scale : 1.0;
    const double offset = use->unit ? use->unit->offset : 0.0;
    recording_.column(role).rescale(scale, offset);
    numbers_.push_back({role, use->index, &recording_.column(role), {}, {}});
  }
}

void RowCollector::add(const Row& row) {
  ++row_;
  if (!row.fault.empty()) return set_aside(row, std::string(row.fault));
  if (row.cells.size() != head_.width && !fits(row)) return;
  double time_s = 0.0;
  if (!read_row_time(row, time_s)) return unread_time(row);
  if (!in_order(time_s)) return set_aside(row, "time steps back");
  keep(row, time_s);
}

bool RowCollector::prepare(PlainBatch& batch) const {
  const bool plain_time = clock_.text == TimeText::number && !clock_.joined;
  const NumberStyle& style = head_.numbers;
  const bool plain_comma = style.comma && !style.comma_groups;
  if (!plain_time || !texts_.empty() || (!plain_point_ && !plain_comma)) return false;
  batch.mark = plain_point_ ? '.' : ',';
  batch.width = head_.width;
  batch.time_column = time_column_;
  batch.cells.resize(numbers_.size());
  for (std::size_t i = 0; i < numbers_.size(); ++i) batch.cells[i].column = numbers_[i].index;
  return true;
}

double RowCollector::time_of(const PlainDecimal& number) const {
  const double time_s =
      number.value() * clock_.scale + clock_.offset_s - recording_.clock.start_s + added_s_;
  return clock_.kind == ClockKind::elapsed ? time_s : std::round(time_s * 1e6) / 1e6;
}

void RowCollector::add(const PlainBatch& batch) {
  batch_line_ = batch.first_line;
  std::size_t from = 0;
  for (std::size_t i = 0; i < batch.rows; ++i) {
    double time_s = time_of({batch.time_digits[i], batch.time_decimals[i]});
    const bool kept = in_order(time_s);
    batch_times_[i] = time_s;
    if (kept) {
      last_time_s_ = time_s;
      continue;
    }
    keep_plain(batch, from, i);
    row_ += 1;
    const std::array<std::string_view, 1> whole{batch.records[i]};
    set_aside({batch_line_ + i, whole, {}, whole[0].data()}, "time steps back");
    from = i + 1;
  }
  keep_plain(batch, from, batch.rows);
}

/// Rows [from, to) of a batch, whose times are in order.
void RowCollector::keep_plain(const PlainBatch& batch, std::size_t from, std::size_t to) {
  if (from == to) return;
  for (std::size_t c = 0; c < numbers_.size(); ++c)
    keep_plain_cells(numbers_[c], batch.cells[c], from, to);
  recording_.time_s.push_times(batch_times_.data() + from, to - from);
  recording_.row_map.add_lines({row_ + 1, batch_line_ + from}, to - from);
  row_ += to - from;
}

void RowCollector::keep_plain_cells(NumberColumn& column, const PlainBatch::Cells& cells,
                                    std::size_t from, std::size_t to) {
  // Values of a column mostly have the same number of decimals: those go in at one stroke.
  for (std::size_t i = from; i < to;) {
    std::size_t end = i + 1;
    while (end < to && cells.decimals[end] == cells.decimals[i]) ++end;
    column.values->push_decimals(cells.digits.data() + i, end - i, cells.decimals[i]);
    i = end;
  }
  const std::size_t before = row_;
  for (std::size_t i = from; i < to; ++i) {
    if (cells.digits[i] != Column::k_no_digits) continue;
    row_ = before + 1 + i - from;
    count_cell(column.missing_slot, column.role, "missing", batch_line_ + i);
  }
  row_ = before;
}

/// Cells beyond the headings may only be blank.
bool RowCollector::fits(const Row& row) {
  if (row.cells.size() < head_.width) {
    set_aside(row, "too few fields");
    return false;
  }
  const auto extra = row.cells.subspan(head_.width);
  if (std::all_of(extra.begin(), extra.end(), is_blank)) return true;
  set_aside(row, "too many fields");
  return false;
}

/// Seconds since the first kept row, before the order is looked at.
bool RowCollector::read_row_time(const Row& row, double& time_s) {
  const std::string_view cell = row.cells[time_column_];
  Instant instant;
  if (clock_.text == TimeText::number && plain_point_ &&
      read_plain_decimal(cell, instant.seconds)) {
    instant.seconds = instant.seconds * clock_.scale + clock_.offset_s;
  } else {
    const std::string_view date = clock_.joined ? row.cells[date_column_] : std::string_view();
    if (!read_time(clock_, head_.numbers, cell, date, instant)) return false;
  }
  if (recording_.time_s.empty()) {
    recording_.clock = {clock_.kind, instant.seconds, instant.offset_min};
    added_s_ = 0.0;
  }
  time_s = instant.seconds - recording_.clock.start_s + added_s_;
  // Large clock values carry binary noise; their decimals below a microsecond mean nothing.
  if (clock_.kind != ClockKind::elapsed) time_s = std::round(time_s * 1e6) / 1e6;
  return true;
}

/// Rolls a clock over midnight (or over the hour, where only minutes are written).
bool RowCollector::in_order(double& time_s) {
  if (recording_.time_s.empty()) return true;
  double back = last_time_s_ - time_s;
  if (clock_.wrap_s > 0 && back > clock_.wrap_s / 2) {
    added_s_ += clock_.wrap_s;
    time_s += clock_.wrap_s;
    back -= clock_.wrap_s;
    ++wraps_;
  }
  if (back <= 0) return true;
  if (back < k_out_of_order_s) return false;
  ++clock_resets_;
  return true;
}

inline bool RowCollector::read_number(std::string_view cell, Role role, double& value) const {
  return (plain_point_ && read_plain_decimal(cell, value)) || read_odd_number(cell, role, value);
}

bool RowCollector::read_odd_number(std::string_view cell, Role role, double& value) const {
  if (const auto number = number_in(cell, head_.numbers)) {
    value = *number;
    return std::abs(value) <= static_cast<double>(std::numeric_limits<float>::max());
  }
  if (role != Role::fan && role != Role::heater) return false;
  const auto state = switch_state(cell);
  if (state) value = *state;
  return state.has_value();
}

void RowCollector::keep(const Row& row, double time_s) {
  auto column = numbers_.begin();
  if (column != numbers_.end() && column->role == Role::coolant) {
    // Coolant decides on the whole row, so it is read before anything is stored.
    const std::string_view cell = row.cells[column->index];
    double value = 0.0;
    const bool read = read_number(cell, column->role, value);
    if (!read && !is_missing_mark(cell)) return set_aside(row, "coolant is not a number");
    store(*column++, read, value, cell, row.line);
  }
  for (; column != numbers_.end(); ++column) {
    const std::string_view cell = row.cells[column->index];
    double value = 0.0;
    const bool read = read_number(cell, column->role, value);
    store(*column, read, value, cell, row.line);
  }
  recording_.time_s.push_back(time_s);
  last_time_s_ = time_s;
  recording_.row_map.add({row_, row.line});
  for (TextColumn& text : texts_) note_text(row, text);
}

inline void RowCollector::store(NumberColumn& column, bool read, double value,
                                std::string_view cell, std::size_t line) {
  if (read) {
    column.values->push(value);
    return;
  }
  column.values->push_missing();
  const bool missing = is_missing_mark(cell);
  auto& slot = missing ? column.missing_slot : column.garbled_slot;
  count_cell(slot, column.role, missing ? "missing" : "not a number", line);
}

void RowCollector::count_cell(std::optional<std::size_t>& slot, Role role, std::string_view what,
                              std::size_t line) {
  auto& list = recording_.how.missing_cells;
  if (!slot) {
    slot = list.size();
    list.push_back({fmt::format("{} is {}", name_of(role), what), 0, row_, line});
  }
  ++list[*slot].count;
}

/// An empty cell goes on with the text before it.
void RowCollector::note_text(const Row& row, TextColumn& column) {
  const std::string_view text = trimmed(row.cells[column.index]);
  if (text.empty() || (column.seen && text == column.last)) return;
  column.last = text;
  column.seen = true;
  recording_.text_changes.push_back({recording_.size() - 1, column.role, as_utf8(text)});
}

void RowCollector::set_aside(const Row& row, const std::string& reason) {
  count(recording_.how.set_aside, reason, row_, row.line);
  if (!offender_) offender_ = Offender{row.line, joined(row, head_.delimiter), reason};
}

void RowCollector::unread_time(const Row& row) {
  const std::string_view cell = row.cells[time_column_];
  if (is_missing_mark(cell)) return set_aside(row, "time is missing");
  if (same_text(as_utf8(cell), head_.heading_of(time_column_)))
    return set_aside(row, "repeated heading");
  set_aside(row, "time not readable");
}

Recording RowCollector::finish() {
  HowRead& how = recording_.how;
  how.rows = row_;
  if (clock_resets_ > 0) {
    how.notes.push_back(
        fmt::format("the clock steps back {} {}: a new trip is taken to start there", clock_resets_,
                    clock_resets_ == 1 ? "time" : "times"));
  }
  if (wraps_ > 0 && clock_.text == TimeText::minutes) {
    how.notes.push_back("the minutes of the time start again at 0: an hour is added each time");
  }
  return std::move(recording_);
}

} // namespace coolband
