// SPDX-License-Identifier: Apache-2.0
// Each row gives some samples; what they mean is decided when all signals are known.
#include "import/series_gatherer.hpp"

#include "import/heading.hpp"
#include "import/set_aside.hpp"
#include "import/turn_round.hpp"
#include "import/vocabulary.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::size_t k_first_cells = 100;
constexpr std::array<std::string_view, k_no_value_kinds> k_reasons{
    "missing", "not a number", "an error value", "not available", "out of the standard's range"};

std::string_view cell_at(const Row& row, std::optional<std::size_t> index) {
  return index && *index < row.cells.size() ? row.cells[*index] : std::string_view();
}

bool is_signal(const Sense& sense) {
  return sense.meaning == Meaning::role && sense.role != Role::time &&
         static_cast<std::size_t>(sense.role) < k_role_count;
}

/// SAE J1979 over CAN (ISO 15765-4, from memory): the engine's own unit answers as 7E8 or 18DAF110,
/// which says no more than an answer without an identifier.
bool is_engine(const FrameValue& value) {
  return value.parameter->standard == FrameStandard::j1979 &&
         (value.source == 0x7E8 || value.source == 0x18DAF110);
}

/// "Engine coolant temperature (SPN 110)", with the sender where it is not the first engine.
std::string name_of(const FrameValue& value) {
  const bool j1939 = value.parameter->standard == FrameStandard::j1939;
  std::string name =
      j1939 ? fmt::format("{} (SPN {})", value.parameter->name, value.parameter->number)
            : fmt::format("{} (PID {:02X})", value.parameter->name, value.parameter->number);
  if (value.sensor > 0) name += fmt::format(", sensor {}", value.sensor);
  if (value.source > 0) {
    name += j1939 ? fmt::format(", address {}", value.source)
                  : fmt::format(", from {:X}", value.source);
  }
  return name;
}

} // namespace

SeriesGatherer::SeriesGatherer(const TableHead& head, const ShapePlan& shape,
                               const ClockFormat& clock, const ColumnPlan* wide,
                               const ImportOptions& options)
    : head_(head), shape_(shape), clock_(clock), options_(options) {
  if (wide == nullptr) return;
  shape_.time = wide->of(Role::time)->index;
  shape_.date = clock.joined ? wide->date : std::nullopt;
  for (std::size_t r = 0; r < k_role_count; ++r) {
    const auto role = static_cast<Role>(r);
    if (role == Role::time || !wide->of(role)) continue;
    Signal& signal = new_signal(head.heading_of(wide->of(role)->index), {});
    signal.column = wide->of(role)->index;
    signal.text = is_text(role);
  }
}

SeriesGatherer::Signal& SeriesGatherer::new_signal(std::string name, std::string unit) {
  signals_.emplace_back();
  Signal& signal = signals_.back();
  signal.series.name = std::move(name);
  signal.series.unit = std::move(unit);
  signal.column = signals_.size(); // the time is column 0
  return signal;
}

void SeriesGatherer::add(const Row& row) {
  ++row_;
  line_ = row.line;
  places_.add({row_, row.line});
  if (!row.fault.empty()) return set_aside(row, std::string(row.fault));
  const std::size_t needed = std::max(
      {shape_.time, shape_.value.value_or(0), shape_.signal.value_or(0), shape_.frame.value_or(0)});
  if (row.cells.size() <= needed) return set_aside(row, "too few fields");
  double time_s = 0.0;
  if (!read_time(row, time_s)) {
    const std::string_view cell = row.cells[shape_.time];
    if (is_missing_mark(cell)) return set_aside(row, "time is missing");
    const bool heading = same_text(as_utf8(cell), head_.heading_of(shape_.time));
    return set_aside(row, heading ? "repeated heading" : "time not readable");
  }
  switch (shape_.shape) {
  case TableShape::long_table: return add_long(row, time_s);
  case TableShape::frames: return add_frame(row, time_s);
  default: return add_sparse(row, time_s);
  }
}

bool SeriesGatherer::read_time(const Row& row, double& time_s) {
  Instant instant;
  const std::string_view date = clock_.joined ? cell_at(row, shape_.date) : std::string_view();
  if (!coolband::read_time(clock_, head_.numbers, row.cells[shape_.time], date, instant))
    return false;
  // Where the newest row stands first, the times are turned to grow; `finish` turns the rows.
  const double clock_s = clock_.newest_first ? -instant.seconds : instant.seconds;
  if (std::abs(clock_s) > k_absurd_s) return false;
  if (!started_) recording_.clock = {clock_.kind, clock_s, instant.offset_min};
  time_s = clock_s - recording_.clock.start_s + added_s_;
  if (clock_.kind != ClockKind::elapsed) time_s = std::round(time_s * 1e6) / 1e6;
  for (const double wrap_s : clock_.wraps_s) {
    if (!started_ || last_s_ - time_s <= wrap_s / 2) continue;
    added_s_ += wrap_s;
    time_s += wrap_s;
  }
  started_ = true;
  last_s_ = time_s;
  return true;
}

bool SeriesGatherer::is_wanted(const std::string& name) const {
  const auto reading = read_heading(name, vocabulary());
  if (reading && (reading->sense.meaning == Meaning::bare ||
                  reading->sense.meaning == Meaning::weather || is_signal(reading->sense)))
    return true;
  return std::any_of(options_.columns.begin(), options_.columns.end(),
                     [&](const auto& choice) { return same_text(choice.heading, name); });
}

/// Signals without a meaning are kept by name only, so that they can be told.
SeriesGatherer::Slot SeriesGatherer::make_slot(const std::string& name, const std::string& unit) {
  const auto known = std::find_if(signals_.begin(), signals_.end(),
                                  [&](const Signal& s) { return s.series.name == name; });
  Slot slot;
  slot.used = is_wanted(name);
  if (known == signals_.end()) {
    Signal& fresh = new_signal(name, unit);
    const auto reading = read_heading(name, vocabulary());
    fresh.text = reading && reading->sense.meaning == Meaning::role && is_text(reading->sense.role);
    slot.signal = signals_.size() - 1;
    return slot;
  }
  slot.signal = static_cast<std::size_t>(known - signals_.begin());
  // The same signal in another unit is turned into the signal's own.
  const auto own = unit_named(known->series.unit);
  const auto other = unit_named(unit);
  if (own && other && own->quantity == other->quantity) {
    slot.scale = other->scale / own->scale;
    slot.offset = (other->offset - own->offset) / own->scale;
  }
  return slot;
}

const SeriesGatherer::Slot& SeriesGatherer::slot_of(std::string_view name, std::string_view unit) {
  key_.assign(name);
  key_ += '\x1F';
  key_ += unit;
  const auto found = slots_.find(key_);
  if (found != slots_.end()) return found->second;
  return slots_.emplace(key_, make_slot(as_utf8(name), as_utf8(unit))).first->second;
}

void SeriesGatherer::add_long(const Row& row, double time_s) {
  const std::string_view name = trimmed(row.cells[*shape_.signal]);
  if (name.empty()) return set_aside(row, "name of the signal is missing");
  const Slot& slot = slot_of(name, trimmed(cell_at(row, shape_.unit)));
  if (!slot.used) return;
  if (!add_cell(signals_[slot.signal], slot, row.cells[*shape_.value], time_s))
    set_aside(row, "time steps back");
}

void SeriesGatherer::add_sparse(const Row& row, double time_s) {
  bool in_order = true;
  for (Signal& signal : signals_) {
    const std::string_view cell = cell_at(row, signal.column);
    if (!is_missing_mark(cell)) in_order &= add_cell(signal, {}, cell, time_s);
  }
  if (!in_order) set_aside(row, "time steps back");
}

/// False when the row is out of order.
bool SeriesGatherer::add_cell(Signal& signal, const Slot& slot, std::string_view cell,
                              double time_s) {
  if (signal.first_cells.size() < k_first_cells) signal.first_cells.emplace_back(cell);
  if (signal.text) {
    const std::string text = as_utf8(trimmed(cell));
    auto& texts = signal.series.texts;
    if (text.empty() || (!texts.empty() && texts.back() == text)) return true;
    texts.push_back(text);
    return add_sample(signal, static_cast<float>(texts.size() - 1), time_s);
  }
  const auto value = number_in(cell, head_.numbers);
  const auto state = value ? value : switch_state(cell);
  if (state && std::abs(*state) <= k_absurd_number)
    return add_sample(signal, static_cast<float>(*state * slot.scale + slot.offset), time_s);
  count_no_value(signal, is_missing_mark(cell) ? NoValue::missing : NoValue::garbled);
  return true;
}

bool SeriesGatherer::add_sample(Signal& signal, float value, double time_s) {
  const Sample sample{time_s, value, static_cast<std::uint32_t>(row_)};
  return series_clock_.add(signal.series, sample) == SeriesClock::Answer::kept;
}

void SeriesGatherer::count_no_value(Signal& signal, NoValue kind) {
  SetAside& entry = signal.series.no_values[static_cast<std::size_t>(kind)];
  if (entry.count++ > 0) return;
  entry.first_row = row_;
  entry.first_line = line_;
}

SeriesGatherer::Signal& SeriesGatherer::signal_of(const FrameValue& value) {
  const std::uint64_t key = (static_cast<std::uint64_t>(value.parameter->number) << 40) |
                            (std::uint64_t{value.sensor} << 32) |
                            static_cast<std::uint32_t>(value.source);
  const auto found = frame_signals_.find(key);
  if (found != frame_signals_.end()) return signals_[found->second];
  frame_signals_.emplace(key, signals_.size());
  Signal& signal = new_signal(name_of(value), std::string(value.parameter->unit));
  if (value.parameter->role) {
    // A second sensor, and a sender behind the first, are asked only when the first is not there.
    const int sensor = (value.sensor > 1 ? 2 : 1) + (value.source > 0 ? 2 : 0);
    signal.meaning = HeadingReading{
        {Meaning::role, *value.parameter->role, value.parameter->tier, sensor, false}, {}};
  }
  return signal;
}

void SeriesGatherer::add_frame(const Row& row, double time_s) {
  frame_values_.clear();
  switch (decode_frame(shape_.standard, cell_at(row, shape_.identifier), row.cells[*shape_.frame],
                       frame_values_)) {
  case FrameOutcome::refused: return set_aside(row, "negative response");
  case FrameOutcome::no_data: return set_aside(row, "no data in the frame");
  case FrameOutcome::not_a_frame: return set_aside(row, "not a frame");
  case FrameOutcome::nothing_known: ++unknown_frames_; return;
  case FrameOutcome::decoded: break;
  }
  bool in_order = true;
  for (FrameValue& value : frame_values_) {
    if (is_engine(value)) value.source = -1;
    Signal& signal = signal_of(value);
    switch (value.state) {
    case FrameValue::State::value:
      if (signal.first_cells.size() < k_first_cells)
        signal.first_cells.push_back(fmt::format("{}", value.value));
      in_order &= add_sample(signal, static_cast<float>(value.value), time_s);
      break;
    case FrameValue::State::error: count_no_value(signal, NoValue::error); break;
    case FrameValue::State::not_available: count_no_value(signal, NoValue::not_available); break;
    case FrameValue::State::reserved: count_no_value(signal, NoValue::out_of_range); break;
    }
  }
  if (!in_order) set_aside(row, "time steps back");
}

TableHead SeriesGatherer::signals() const {
  TableHead head;
  head.name = head_.name;
  head.line = head_.line;
  head.numbers = head_.numbers;
  head.headings.push_back(head_.headings.empty() ? fmt::format("column {}", shape_.time + 1)
                                                 : head_.heading_of(shape_.time));
  head.units.emplace_back();
  head.meanings.push_back(HeadingReading{{Meaning::role, Role::time, 1}, {}});
  std::size_t rows = 0;
  for (const Signal& signal : signals_) {
    head.headings.push_back(signal.series.name);
    head.units.push_back(signal.series.unit);
    head.meanings.push_back(shape_.shape == TableShape::frames
                                ? signal.meaning
                                : read_heading(signal.series.name, vocabulary()));
    rows = std::max(rows, signal.first_cells.size());
  }
  head.width = head.headings.size();
  head.sample.assign(rows, std::vector<std::string>(head.width));
  for (std::size_t i = 0; i < signals_.size(); ++i) {
    for (std::size_t row = 0; row < signals_[i].first_cells.size(); ++row)
      head.sample[row][i + 1] = signals_[i].first_cells[row];
  }
  return head;
}

void SeriesGatherer::report_no_values(Role role, const Series& series) {
  for (std::size_t kind = 0; kind < k_no_value_kinds; ++kind) {
    SetAside entry = series.no_values[kind];
    if (entry.count == 0) continue;
    entry.reason = fmt::format("{} is {}", coolband::name_of(role), k_reasons[kind]);
    recording_.how.missing_cells.push_back(entry);
  }
}

void SeriesGatherer::note_frames() {
  if (unknown_frames_ == 0) return;
  recording_.how.notes.push_back(fmt::format("{} frame{} nothing that coolband uses",
                                             unknown_frames_,
                                             unknown_frames_ == 1 ? " holds" : "s hold"));
}

/// The first rows of the log may have held nothing that is used.
void SeriesGatherer::count_from_first_row() {
  if (recording_.size() == 0 || recording_.time_s.front() == 0.0) return;
  const double first_s = recording_.time_s.front();
  const bool counter = clock_.kind == ClockKind::elapsed;
  TimeColumn times;
  for (const double time_s : recording_.time_s) {
    const double since_s = time_s - first_s;
    times.push_back(counter ? since_s : std::round(since_s * 1e6) / 1e6);
  }
  recording_.time_s = std::move(times);
  recording_.clock.start_s += first_s;
}

Recording SeriesGatherer::finish(const ColumnPlan& plan) {
  SeriesByRole by_role{};
  for (std::size_t r = 0; r < k_role_count; ++r) {
    const auto role = static_cast<Role>(r);
    const auto& use = plan.of(role);
    if (!use || role == Role::time) continue;
    for (const Signal& signal : signals_) {
      if (signal.column == use->index) by_role[r] = &signal.series;
    }
    if (by_role[r] == nullptr) continue;
    report_no_values(role, *by_role[r]);
    if (use->unit) recording_.values[r].rescale(use->unit->scale, use->unit->offset);
  }
  merge_series(by_role, places_, recording_);
  count_from_first_row();
  recording_.how.rows = row_;
  note_frames();
  if (series_clock_.drives() > 1) {
    const RowMap::Place at = places_.at(series_clock_.first_reset_row() - 1);
    recording_.how.clock_events.push_back(
        {"clock set back (a new trip starts)", series_clock_.drives() - 1, at.row, at.line});
  }
  if (clock_.newest_first) turn_round(recording_);
  return std::move(recording_);
}

void SeriesGatherer::set_aside(const Row& row, const std::string& reason) {
  count_set_aside(recording_.how.set_aside, reason, {row_, row.line});
  if (!offender_) offender_ = Offender{row.line, excerpt_of(row, head_.delimiter), reason};
}

} // namespace coolband
