// SPDX-License-Identifier: Apache-2.0
// The whole import on one page: sniff, find the head, plan the columns, read the rows, settle.
#include "coolband/import/import_log.hpp"

#include "import/clock_format.hpp"
#include "import/columns.hpp"
#include "import/csv_layout.hpp"
#include "import/csv_reader.hpp"
#include "import/format_sniff.hpp"
#include "import/heading.hpp"
#include "import/import_source.hpp"
#include "import/input_error.hpp"
#include "import/json_columns.hpp"
#include "import/json_reader.hpp"
#include "import/row_collector.hpp"
#include "import/units_settled.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/core.h>

namespace coolband {

namespace {

std::string delimiter_name(char delimiter) {
  switch (delimiter) {
  case ';': return "semicolon";
  case '\t': return "tab";
  case '|': return "pipe";
  default: return "comma";
  }
}

ColumnReading time_reading(const TableHead& head, const ColumnPlan& plan,
                           const ClockFormat& clock) {
  const std::size_t index = plan.of(Role::time)->index;
  const std::string heading =
      head.headings.empty() ? fmt::format("column {}", index + 1) : head.heading_of(index);
  return {Role::time, heading, index + 1, clock.unit, clock.unit_origin};
}

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

std::optional<Error> refuse_if_unusable(const Recording& recording, const RowCollector& collector) {
  std::size_t aside = 0;
  for (const SetAside& entry : recording.how.set_aside) aside += entry.count;
  const std::size_t rows = recording.how.rows;
  if (aside * 2 <= rows) return std::nullopt;
  const Offender& first = *collector.first_offender();
  return input_error({recording.source, first.line, 0},
                     fmt::format("{} of {} rows cannot be used, the first because of: {}", aside,
                                 rows, first.reason),
                     first.text,
                     "check the delimiter, the headings and the columns chosen (--column)");
}

/// Notes about the columns as a whole.
void note_gaps(Recording& recording) {
  const auto& coolant = recording.column(Role::coolant);
  if (std::all_of(coolant.begin(), coolant.end(), [](float v) { return std::isnan(v); })) {
    recording.how.notes.push_back("coolant has no value in any row");
  }
}

struct Plans {
  ColumnPlan columns;
  ClockFormat clock;
};

Result<Plans> plan_table(const TableHead& head, const ImportOptions& options) {
  if (head.sample.empty()) {
    return input_error({head.name, head.line, 0}, "the log has headings but no rows", head.text,
                       {});
  }
  auto columns = plan_columns(head, options);
  if (!columns) return columns.error();
  auto clock = find_clock_format(head, *columns);
  if (!clock) return clock.error();
  return Plans{std::move(*columns), std::move(*clock)};
}

Result<Recording> finish(const TableHead& head, const Plans& plans, const ImportOptions& options,
                         RowCollector& collector, HowRead how) {
  Recording recording = collector.finish();
  recording.source = head.name;
  how.rows = recording.how.rows;
  how.set_aside = std::move(recording.how.set_aside);
  how.missing_cells = std::move(recording.how.missing_cells);
  how.clock_events = std::move(recording.how.clock_events);
  how.clock = plans.clock.words;
  how.ignored = plans.columns.ignored;
  how.columns = {time_reading(head, plans.columns, plans.clock)};
  append(how.notes, head.notes);
  append(how.notes, plans.columns.notes);
  append(how.notes, plans.clock.notes);
  if (plans.clock.joined) {
    how.notes.push_back(
        fmt::format("the date is taken from \"{}\"", head.heading_of(*plans.columns.date)));
  }
  append(how.notes, recording.how.notes);
  recording.how = std::move(how);
  if (auto error = refuse_if_unusable(recording, collector)) return *error;
  settle_units(recording, head, plans.columns);
  note_gaps(recording);
  add_constants(recording, options);
  return recording;
}

/// Reads every row behind the head through the collector; `Reader` is any of the row readers.
template <class Reader>
std::optional<Error> collect(Reader& reader, std::size_t last_head_line, RowCollector& collector) {
  Row row;
  bool in_head = last_head_line > 0;
  while (reader.next(row)) {
    if (in_head && row.line <= last_head_line) continue;
    in_head = false;
    collector.add(row);
  }
  return reader.error();
}

Result<Recording> import_csv(InputBuffer& input, std::string_view sample, const std::string& name,
                             const ImportOptions& options) {
  const bool complete = input.ended() && sample.size() == input.unread().size();
  auto head = find_csv_layout(sample, complete, name, options);
  if (!head) return head.error();
  auto plans = plan_table(*head, options);
  if (!plans) return plans.error();
  RowCollector collector(*head, plans->columns, plans->clock);
  CsvReader reader(input, head->delimiter, name);
  if (auto error = collect(reader, head->last_head_line, collector)) return *error;
  HowRead how;
  how.format = "csv";
  how.delimiter = delimiter_name(head->delimiter);
  how.decimal_comma = head->numbers.comma;
  how.header_line = head->line;
  return finish(*head, *plans, options, collector, std::move(how));
}

template <class Reader>
Result<Recording> import_records(Reader& reader, TableHead& head, const std::string& format,
                                 const ImportOptions& options) {
  auto plans = plan_table(head, options);
  if (!plans) return plans.error();
  RowCollector collector(head, plans->columns, plans->clock);
  if (auto error = collect(reader, 0, collector)) return *error;
  append(head.notes, reader.notes());
  HowRead how;
  how.format = format;
  return finish(head, *plans, options, collector, std::move(how));
}

Result<Recording> import_json(InputBuffer& input, std::string_view sample, LogFormat format,
                              const std::string& name, const ImportOptions& options) {
  if (format == LogFormat::json_columns) {
    auto table = read_json_columns(input, name);
    if (!table) return table.error();
    TableHead head = table->head();
    JsonColumnsReader reader(*table);
    return import_records(reader, head, "json columns", options);
  }
  const bool complete = input.ended() && sample.size() == input.unread().size();
  const bool lines = format == LogFormat::json_lines;
  auto head = find_json_head(sample, complete, lines, name);
  if (!head) return head.error();
  JsonReader reader(input, lines, head->headings, name);
  return import_records(reader, *head, lines ? "json lines" : "json array", options);
}

} // namespace

Result<Recording> import_source(ByteSource& source, const std::string& name,
                                const ImportOptions& options) {
  InputBuffer input(source);
  const std::string_view sample = load_sample(input);
  if (input.error()) return *input.error();
  const auto format = sniff_format(sample, name);
  if (!format) return format.error();
  if (*format == LogFormat::csv) return import_csv(input, sample, name, options);
  return import_json(input, sample, *format, name, options);
}

Result<Recording> import_log(const std::string& path, const ImportOptions& options) {
  auto source = open_source(path);
  if (!source) return source.error();
  return import_source(**source, path, options);
}

Result<Recording> import_text(std::string_view bytes, const std::string& name,
                              const ImportOptions& options) {
  MemorySource source(bytes);
  return import_source(source, name, options);
}

} // namespace coolband
