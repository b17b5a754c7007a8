// SPDX-License-Identifier: Apache-2.0
// The import of a table on one page: which shape, which columns, which clock, then row by row.
#include "import/import_table.hpp"

#include "import/clock_format.hpp"
#include "import/columns.hpp"
#include "import/heading.hpp"
#include "import/input_error.hpp"
#include "import/row_collector.hpp"
#include "import/series_gatherer.hpp"
#include "import/table_shape.hpp"
#include "import/time_form.hpp"
#include "import/units_settled.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <type_traits>

#include <fmt/core.h>

namespace coolband {

namespace {

void append(std::vector<std::string>& to, const std::vector<std::string>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

void add_constants(Recording& recording, const ImportOptions& options) {
  for (const Constant& constant : options.constants) {
    auto& how = recording.how;
    if (recording.has(constant.role)) {
      how.notes.push_back(
          fmt::format("the log has {}: its column is used, not the {} that was given",
                      name_of(constant.role), constant.value));
      continue;
    }
    recording.column(constant.role).assign(recording.size(), static_cast<float>(constant.value));
    const auto after = std::find_if(how.columns.begin(), how.columns.end(),
                                    [&](const ColumnReading& c) { return c.role > constant.role; });
    how.columns.insert(
        after, {constant.role, "(given)", 0, std::string(own_unit(constant.role)), "given"});
  }
}

/// Notes about the columns as a whole.
void note_gaps(Recording& recording) {
  const auto& coolant = recording.column(Role::coolant);
  if (std::all_of(coolant.begin(), coolant.end(), [](float v) { return std::isnan(v); })) {
    recording.how.notes.push_back("WARNING: coolant has no value in any row; if another column is "
                                  "coolant, say --column coolant=\"HEADING\"");
  }
}

/// Vehicles that change every few rows leave no drive of any of them.
void note_mixed_vehicles(Recording& recording) {
  constexpr std::size_t k_changes = 20;
  constexpr std::size_t k_rows_a_change = 10;
  const auto changes = static_cast<std::size_t>(
      std::count_if(recording.text_changes.begin(), recording.text_changes.end(),
                    [](const TextChange& change) { return change.role == Role::vehicle; }));
  if (changes < k_changes || recording.size() >= k_rows_a_change * changes) return;
  recording.how.notes.emplace_back("WARNING: rows of several vehicles alternate, and each change "
                                   "begins a trip: split the log by its vehicles, or sort it");
}

/// One import; the steps in the order in which they are taken.
class TableImport {
 public:
  TableImport(RowReader& reader, const TableHead& head, const ImportOptions& options, HowRead how)
      : reader_(reader), head_(head), options_(options), how_(std::move(how)) {}

  Result<Recording> run();

 private:
  Result<Recording> read_wide();
  Result<Recording> read_sparse(const ShapePlan& shape);
  Result<Recording> read_signals(const ShapePlan& shape);
  ColumnUse time_of(const ShapePlan& shape) const;
  std::string time_form() const;
  ImportOptions choices_among_signals() const;
  Error no_values() const;
  static void place_columns(HowRead& how, const ShapePlan& shape);
  template <class Collector>
  std::optional<Error> collect(Collector& collector);
  Result<Recording> finish(Recording recording, const TableHead& head, const ColumnPlan& plan,
                           const ClockFormat& clock);
  std::optional<Error> take_counts(HowRead& rows, const std::optional<Offender>& offender);
  std::optional<Error> refuse_if_unusable(const std::optional<Offender>& offender) const;
  void note_clock(const ClockFormat& clock, const std::optional<std::size_t>& date);

  RowReader& reader_;
  const TableHead& head_;
  const ImportOptions& options_;
  HowRead how_;
};

/// Reads every row behind the head.
template <class Collector>
std::optional<Error> TableImport::collect(Collector& collector) {
  Row row;
  bool in_head = head_.last_head_line > 0;
  const auto batch = std::make_unique<PlainBatch>();
  bool plain = false;
  if constexpr (std::is_same_v<Collector, RowCollector>) plain = collector.prepare(*batch);
  for (;;) {
    if constexpr (std::is_same_v<Collector, RowCollector>) {
      while (!in_head && plain && collector.takes_batches() && reader_.next_batch(*batch))
        collector.add(*batch);
    }
    if (!reader_.next(row)) break;
    if (in_head && row.line <= head_.last_head_line) continue;
    in_head = false;
    collector.add(row);
    if constexpr (std::is_same_v<Collector, RowCollector>) {
      if (collector.take_columns_moved()) plain = collector.prepare(*batch);
    }
  }
  append(how_.notes, head_.notes);
  append(how_.notes, reader_.notes());
  return reader_.error();
}

std::optional<Error>
TableImport::refuse_if_unusable(const std::optional<Offender>& offender) const {
  std::size_t aside = 0;
  for (const SetAside& entry : how_.set_aside) aside += entry.count;
  if (aside * 2 <= how_.rows || !offender) return std::nullopt;
  return input_error({head_.name, offender->line, 0},
                     fmt::format("{} of {} rows cannot be used, the first because of: {}", aside,
                                 how_.rows, offender->reason),
                     offender->text,
                     "check the delimiter, the headings and the columns chosen (--column); a cell "
                     "is a bare number, its unit stands in the heading");
}

void TableImport::note_clock(const ClockFormat& clock, const std::optional<std::size_t>& date) {
  how_.clock = clock.words;
  append(how_.notes, clock.notes);
  if (clock.joined && date)
    how_.notes.push_back(fmt::format("the date is taken from \"{}\"", head_.heading_of(*date)));
}

/// Takes over what the rows told, and settles the units that nobody stated.
Result<Recording> TableImport::finish(Recording recording, const TableHead& head,
                                      const ColumnPlan& plan, const ClockFormat& clock) {
  append(how_.notes, recording.how.notes);
  const std::size_t index = plan.of(Role::time)->index;
  const std::string heading =
      head.headings.empty() ? fmt::format("column {}", index + 1) : head.heading_of(index);
  how_.columns = {{Role::time, heading, index + 1, clock.unit, clock.unit_origin}};
  how_.ignored = plan.ignored;
  recording.source = head.name;
  recording.how = std::move(how_);
  settle_units(recording, head, plan);
  note_gaps(recording);
  note_mixed_vehicles(recording);
  add_constants(recording, options_);
  return recording;
}

/// Refuses a log most of whose rows could not be used.
std::optional<Error> TableImport::take_counts(HowRead& rows,
                                              const std::optional<Offender>& offender) {
  how_.rows = rows.rows;
  how_.set_aside = std::move(rows.set_aside);
  how_.missing_cells = std::move(rows.missing_cells);
  how_.clock_events = std::move(rows.clock_events);
  return refuse_if_unusable(offender);
}

Result<Recording> TableImport::read_wide() {
  auto plan = plan_columns(head_, options_);
  if (!plan) return plan.error();
  auto clock = find_clock_format(head_, *plan);
  if (!clock) return clock.error();
  RowCollector collector(head_, *plan, *clock);
  if (auto error = collect(collector)) return *error;
  append(how_.notes, plan->notes);
  note_clock(*clock, plan->date);
  Recording recording = collector.finish();
  if (auto error = take_counts(recording.how, collector.first_offender())) return *error;
  return finish(std::move(recording), head_, *plan, *clock);
}

Result<Recording> TableImport::read_sparse(const ShapePlan& shape) {
  auto plan = plan_columns(head_, options_);
  if (!plan) return plan.error();
  auto clock = find_clock_format(head_, *plan);
  if (!clock) return clock.error();
  SeriesGatherer gatherer(head_, shape, *clock, &*plan, options_);
  if (auto error = collect(gatherer)) return *error;
  append(how_.notes, plan->notes);
  note_clock(*clock, plan->date);
  Recording recording = gatherer.finish(*plan);
  if (auto error = take_counts(recording.how, gatherer.first_offender())) return *error;
  if (recording.size() == 0) return no_values();
  return finish(std::move(recording), head_, *plan, *clock);
}

/// The clock is read as the rows come; what the signals mean is known only behind the last row.
Result<Recording> TableImport::read_signals(const ShapePlan& shape) {
  ColumnPlan times;
  times.of(Role::time) = time_of(shape);
  times.date = shape.date;
  times.time_form = time_form();
  auto clock = find_clock_format(head_, times);
  if (!clock) return clock.error();
  SeriesGatherer gatherer(head_, shape, *clock, nullptr, options_);
  if (auto error = collect(gatherer)) return *error;
  const TableHead signals = gatherer.signals();
  auto plan = plan_columns(signals, choices_among_signals());
  if (!plan) return plan.error();
  append(how_.notes, plan->notes);
  note_clock(*clock, shape.date);
  Recording recording = gatherer.finish(*plan);
  if (auto error = take_counts(recording.how, gatherer.first_offender())) return *error;
  if (recording.size() == 0) return no_values();
  auto read = finish(std::move(recording), signals, *plan, *clock);
  if (read) place_columns(read->how, shape);
  return read;
}

ColumnUse TableImport::time_of(const ShapePlan& shape) const {
  ColumnUse use{shape.time, {}, {}};
  const auto reading = read_heading(head_.heading_of(shape.time), vocabulary());
  for (const ColumnChoice& choice : options_.columns) {
    if (choice.role != Role::time || choice.unit.empty()) continue;
    use.unit = unit_for(Role::time, choice.unit);
    if (use.unit) use.unit_origin = "given";
  }
  if (!use.unit && reading && reading->unit && reading->unit->quantity == Quantity::time) {
    use.unit = reading->unit;
    use.unit_origin = "heading";
  }
  return use;
}

std::string TableImport::time_form() const {
  for (const ColumnChoice& choice : options_.columns) {
    if (choice.role == Role::time && read_time_form(choice.unit)) return choice.unit;
  }
  return {};
}

/// The user's choices that name signals, not parts of a row.
ImportOptions TableImport::choices_among_signals() const {
  ImportOptions options = options_;
  std::erase_if(options.columns, [](const ColumnChoice& choice) {
    return choice.role == Role::time || static_cast<std::size_t>(choice.role) >= k_role_count;
  });
  return options;
}

Error TableImport::no_values() const {
  return input_error({head_.name, 0, 0}, "no row of the log holds a value that can be used", {},
                     "see with 'coolband inspect' what it holds");
}

/// The columns were chosen among signals: they stand where the values stand in the rows.
void TableImport::place_columns(HowRead& how, const ShapePlan& shape) {
  const bool frames = shape.shape == TableShape::frames;
  for (ColumnReading& column : how.columns) {
    if (column.role == Role::time) {
      column.column = shape.time + 1;
      continue;
    }
    if (column.column == 0) continue;
    column.column = (frames ? *shape.frame : *shape.value) + 1;
    if (column.unit_origin == "units row") column.unit_origin = frames ? "standard" : "unit column";
  }
}

Result<Recording> TableImport::run() {
  if (head_.sample.empty()) {
    return input_error(
        {head_.name, head_.line, 0}, "the log has headings but no rows", head_.text,
        "check that the logger recorded anything, and that the file was copied whole");
  }
  const auto shape = find_shape(head_, options_);
  if (!shape) return shape.error();
  how_.shape = words_for(*shape);
  switch (shape->shape) {
  case TableShape::wide: return read_wide();
  case TableShape::sparse: return read_sparse(*shape);
  case TableShape::long_table:
  case TableShape::frames: break;
  }
  return read_signals(*shape);
}

} // namespace

Result<Recording> import_table(RowReader& reader, const TableHead& head,
                               const ImportOptions& options, HowRead how) {
  return TableImport(reader, head, options, std::move(how)).run();
}

} // namespace coolband
