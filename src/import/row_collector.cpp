// SPDX-License-Identifier: Apache-2.0
// The loop that every row goes through; only the columns that play a role are converted.
#include "import/row_collector.hpp"

#include "import/heading.hpp"
#include "import/set_aside.hpp"
#include "import/turn_round.hpp"
#include "import/vocabulary.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

bool is_blank_cell(std::string_view cell) { return trimmed(cell).empty(); }

} // namespace

RowCollector::RowCollector(const TableHead& head, const ColumnPlan& plan, const ClockFormat& clock)
    : head_(head), plan_(plan), clock_(clock), width_(head.width),
      time_column_(plan.of(Role::time)->index),
      date_column_(clock.joined ? *plan.date : head.width),
      plain_point_(head.numbers.point && !head.numbers.point_groups),
      watch_({clock.kind, clock.period_s, clock.wraps_s}),
      plain_clock_(clock.text == TimeText::number && plain_point_) {
  const auto store = std::make_shared<ColumnStore>();
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
    recording_.column(role).keep_in(store);
    numbers_.push_back({role, use->index, &recording_.column(role), {}, {}});
  }
}

void RowCollector::add(const Row& row) {
  ++row_;
  if (!row.fault.empty()) return set_aside(row, std::string(row.fault));
  double clock_s = 0.0;
  const bool whole = row.cells.size() == width_;
  const bool timed = whole && foreign_line_ == 0 && read_row_time(row, clock_s);
  if (!timed && is_heading(row)) return follow_heading(row);
  if (foreign_line_ > 0) {
    return set_aside(row, fmt::format("stands under the other headings of line {}", foreign_line_));
  }
  if (!whole && !fits(row)) return;
  if (!timed && !read_row_time(row, clock_s)) return unread_time(row);
  if (held_) settle_held(watch_.settle_held(clock_s));
  const TimeFate fate = watch_.see(clock_s, {row_, row.line});
  if (fate != TimeFate::keep) return odd_time(row, fate);
  keep(row);
}

bool RowCollector::prepare(PlainBatch& batch) const {
  const bool plain_time = clock_.text == TimeText::number && !clock_.joined;
  const NumberStyle& style = head_.numbers;
  const bool plain_comma = style.comma && !style.comma_groups;
  if (!plain_time || !texts_.empty() || (!plain_point_ && !plain_comma)) return false;
  batch.mark = plain_point_ ? '.' : ',';
  batch.width = width_;
  batch.time_column = time_column_;
  batch.cells.resize(numbers_.size());
  for (std::size_t i = 0; i < numbers_.size(); ++i) batch.cells[i].column = numbers_[i].index;
  return true;
}

/// Times of a batch on the log's clock, turned to grow with time.
void RowCollector::read_batch_clock(const PlainBatch& batch) {
  for (std::size_t i = 0; i < batch.rows; ++i) {
    const PlainDecimal number{batch.time_digits[i], batch.time_decimals[i]};
    const double clock_s = number.value() * clock_.scale + clock_.offset_s;
    batch_clock_[i] = clock_.newest_first ? -clock_s : clock_s;
  }
}

/// A time that is out of the usual takes its row on the slow road.
void RowCollector::add(const PlainBatch& batch) {
  batch_line_ = batch.first_line;
  read_batch_clock(batch);
  if (!held_ && watch_.see_usual({batch_clock_.data(), batch.rows})) {
    for (std::size_t i = 0; i < batch.rows; ++i)
      batch_times_[i] = time_s_of(batch_clock_[i] + watch_.added_s());
    return keep_plain(batch, 0, batch.rows);
  }
  std::size_t from = 0;
  for (std::size_t i = 0; i < batch.rows; ++i) {
    if (!held_ && watch_.is_usual(batch_clock_[i])) {
      watch_.see(batch_clock_[i], {row_ + 1 + i - from, batch_line_ + i});
      batch_times_[i] = next_time_s();
      continue;
    }
    keep_plain(batch, from, i);
    add_record(batch.records[i], batch_line_ + i);
    from = i + 1;
  }
  keep_plain(batch, from, batch.rows);
}

/// A record of a batch has no quotes.
void RowCollector::add_record(std::string_view record, std::size_t line) {
  record_cells_.clear();
  for (std::size_t begin = 0;;) {
    const std::size_t end = std::min(record.find(head_.delimiter, begin), record.size());
    record_cells_.push_back(record.substr(begin, end - begin));
    if (end == record.size()) break;
    begin = end + 1;
  }
  add({line, record_cells_, {}, record.data()});
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
  const auto* const decimals = cells.decimals.data();
  const auto* const digits = cells.digits.data();
  if (std::memcmp(decimals + from, decimals + from + 1, to - from - 1) == 0)
    column.values->push_decimals(digits + from, to - from, decimals[from]);
  else
    keep_mixed_cells(*column.values, cells, from, to);
  if (std::count(digits + from, digits + to, Column::k_no_digits) == 0) return;
  const std::size_t before = row_;
  for (std::size_t i = from; i < to; ++i) {
    if (digits[i] != Column::k_no_digits) continue;
    row_ = before + 1 + i - from;
    count_cell(column.missing_slot, column.role, "missing", batch_line_ + i);
  }
  row_ = before;
}

/// "85", "85.5" and "85.25" one after the other go in as what they are in the smallest of their
/// decimals, at one stroke; only where that does not fit, one by one.
void RowCollector::keep_mixed_cells(Column& values, const PlainBatch::Cells& cells,
                                    std::size_t from, std::size_t to) {
  constexpr std::array<std::int64_t, 8> k_powers{1,      10,      100,       1'000,
                                                 10'000, 100'000, 1'000'000, 10'000'000};
  const std::uint8_t most =
      *std::max_element(cells.decimals.data() + from, cells.decimals.data() + to);
  std::int64_t largest = 0;
  for (std::size_t i = from; i < to; ++i) {
    const bool missing = cells.digits[i] == Column::k_no_digits;
    const std::int64_t raised = cells.digits[i] * k_powers[most - cells.decimals[i]];
    raised_[i] = missing ? Column::k_no_digits : static_cast<std::int32_t>(raised);
    largest = std::max(largest, missing ? 0 : std::abs(raised));
  }
  if (largest <= std::numeric_limits<std::int32_t>::max())
    return values.push_decimals(raised_.data() + from, to - from, most);
  for (std::size_t i = from; i < to; ++i)
    values.push_decimals(cells.digits.data() + i, 1, cells.decimals[i]);
}

/// Where a column of the head stands in a row of headings.
std::optional<std::size_t> RowCollector::place_in(const Row& row, std::size_t column) const {
  const std::string heading = head_.heading_of(column);
  const bool same_place =
      column < row.cells.size() && same_text(as_utf8(row.cells[column]), heading);
  if (same_place) return column;
  for (std::size_t i = 0; i < row.cells.size(); ++i) {
    if (same_text(as_utf8(row.cells[i]), heading)) return i;
  }
  return std::nullopt;
}

/// A logger that starts anew writes its headings again; two of them are no chance.
bool RowCollector::is_heading(const Row& row) const {
  std::size_t found = 0;
  for (std::size_t i = 0; i < head_.headings.size() && found < 2; ++i) {
    found += !head_.headings[i].empty() && place_in(row, i) ? 1U : 0U;
  }
  return found >= std::min<std::size_t>(2, head_.headings.size()) && found > 0;
}

/// The columns may stand in another order from here on. Where one that is used is gone, or its
/// heading is another (with another unit, say), the rows behind cannot be read by the old one.
void RowCollector::follow_heading(const Row& row) {
  set_aside(row, "repeated heading");
  const auto time = place_in(row, plan_.of(Role::time)->index);
  bool all = time.has_value() && !clock_.joined;
  std::vector<std::size_t> numbers;
  std::vector<std::size_t> texts;
  for (const NumberColumn& column : numbers_)
    numbers.push_back(place_in(row, plan_.of(column.role)->index).value_or(row.cells.size()));
  for (const TextColumn& column : texts_)
    texts.push_back(place_in(row, plan_.of(column.role)->index).value_or(row.cells.size()));
  for (const std::size_t place : numbers) all &= place < row.cells.size();
  for (const std::size_t place : texts) all &= place < row.cells.size();
  const bool same = clock_.joined && row.cells.size() == head_.width && is_same_heading(row);
  foreign_line_ = all || same ? 0 : row.line;
  if (!all) return;
  columns_moved_ = true;
  width_ = row.cells.size();
  time_column_ = *time;
  for (std::size_t i = 0; i < numbers_.size(); ++i) numbers_[i].index = numbers[i];
  for (std::size_t i = 0; i < texts_.size(); ++i) texts_[i].index = texts[i];
}

bool RowCollector::is_same_heading(const Row& row) const {
  for (std::size_t i = 0; i < row.cells.size(); ++i) {
    if (!same_text(as_utf8(row.cells[i]), head_.heading_of(i))) return false;
  }
  return true;
}

/// Cells beyond the headings may only be blank.
bool RowCollector::fits(const Row& row) {
  if (row.cells.size() < width_) {
    set_aside(row, "too few fields");
    return false;
  }
  const auto extra = row.cells.subspan(width_);
  if (std::all_of(extra.begin(), extra.end(), is_blank_cell)) return true;
  set_aside(row, "too many fields");
  return false;
}

/// Seconds on the log's clock, turned to grow with time where the newest row stands first.
bool RowCollector::read_row_time(const Row& row, double& clock_s) {
  const std::string_view cell = row.cells[time_column_];
  if (plain_clock_ && read_plain_decimal(cell, clock_s)) {
    clock_s = clock_s * clock_.scale + clock_.offset_s;
  } else {
    Instant instant;
    const std::string_view date = clock_.joined ? row.cells[date_column_] : std::string_view();
    if (!read_time(clock_, head_.numbers, cell, date, instant)) return false;
    clock_s = instant.seconds;
    offset_min_ = instant.offset_min;
  }
  if (clock_.newest_first) clock_s = -clock_s;
  return std::abs(clock_s) <= k_absurd_s;
}

void RowCollector::odd_time(const Row& row, TimeFate fate) {
  if (fate == TimeFate::hold) return hold(row);
  set_aside(row, "time steps back");
}

/// The cells live no longer than the row, so they are copied, with bytes behind them to be loaded.
void RowCollector::hold(const Row& row) {
  HeldRow held{row_, row.line, {}, {}};
  for (const std::string_view cell : row.cells) {
    held.bytes += cell;
    held.ends.push_back(held.bytes.size());
  }
  held.bytes.append(k_cell_padding, '\0');
  held_ = std::move(held);
}

void RowCollector::settle_held(bool keep_it) {
  const HeldRow held = std::move(*held_);
  held_.reset();
  std::vector<std::string_view> cells;
  std::size_t begin = 0;
  for (const std::size_t end : held.ends) {
    cells.push_back(std::string_view(held.bytes).substr(begin, end - begin));
    begin = end;
  }
  const Row row{held.line, cells, {}, held.bytes.data()};
  const std::size_t row_after = std::exchange(row_, held.row);
  if (keep_it)
    keep(row);
  else
    set_aside(row, "time leaps away from the rows around it");
  row_ = row_after;
}

/// Seconds since the first kept row, on the clock that the watch has just seen.
double RowCollector::next_time_s() {
  const double now_s = watch_.now_s();
  if (recording_.time_s.empty()) recording_.clock = {clock_.kind, now_s, offset_min_};
  return time_s_of(now_s);
}

/// Seconds since the first kept row at a time on the watch.
double RowCollector::time_s_of(double now_s) const {
  const double time_s = now_s - recording_.clock.start_s;
  // Large clock values carry binary noise; their decimals below a microsecond mean nothing.
  return clock_.kind == ClockKind::elapsed ? time_s : std::round(time_s * 1e6) / 1e6;
}

inline bool RowCollector::read_number(std::string_view cell, Role role, double& value) const {
  return (plain_point_ && read_plain_decimal(cell, value)) || read_odd_number(cell, role, value);
}

bool RowCollector::read_odd_number(std::string_view cell, Role role, double& value) const {
  if (const auto number = number_in(cell, head_.numbers)) {
    value = *number;
    return std::abs(value) <= k_absurd_number;
  }
  if (role != Role::fan && role != Role::heater) return false;
  const auto state = switch_state(cell);
  if (state) value = *state;
  return state.has_value();
}

void RowCollector::keep(const Row& row) {
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
  recording_.time_s.push_back(next_time_s());
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
  count_set_aside(recording_.how.set_aside, reason, {row_, row.line});
  if (!offender_) offender_ = Offender{row.line, excerpt_of(row, head_.delimiter), reason};
}

void RowCollector::unread_time(const Row& row) {
  const std::string_view cell = row.cells[time_column_];
  if (is_missing_mark(cell)) return set_aside(row, "time is missing");
  set_aside(row, "time not readable");
}

Recording RowCollector::finish() {
  if (held_) {
    watch_.keep_held();
    settle_held(true);
  }
  HowRead& how = recording_.how;
  how.rows = row_;
  how.clock_events = watch_.events();
  for (std::string& note : watch_.notes()) how.notes.push_back(std::move(note));
  if (clock_.newest_first) turn_round(recording_);
  return std::move(recording_);
}

} // namespace coolband
