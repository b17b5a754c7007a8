// SPDX-License-Identifier: Apache-2.0
// Deciding by a vote of the sample: every kind of time text tries every cell, and most hits win.
#include "import/clock_format.hpp"

#include "import/input_error.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

// Bounds of an epoch in seconds: 1995 to 2103. Counters of a trip stay far below, in any unit.
constexpr double k_epoch_from_s = 8e8;
constexpr double k_epoch_to_s = 4.2e9;
// Steps of 100 s between rows are no way to log coolant, steps of 100 ms are.
constexpr double k_millisecond_step = 100.0;
// Spreadsheets count days from 1899-12-30; 25569 is 1970-01-01.
constexpr double k_spreadsheet_epoch_day = 25569.0;

struct Cells {
  std::vector<std::string_view> time;
  std::vector<std::string_view> date;
};

Cells cells_of(const TableHead& head, const ColumnPlan& plan) {
  Cells cells;
  const std::size_t column = plan.of(Role::time)->index;
  for (const auto& row : head.sample) {
    if (column >= row.size() || is_missing_mark(row[column])) continue;
    cells.time.emplace_back(row[column]);
    const bool dated = plan.date && *plan.date < row.size();
    cells.date.emplace_back(dated ? std::string_view(row[*plan.date]) : std::string_view());
  }
  return cells;
}

/// What days and months the sample shows.
struct OrderEvidence {
  std::size_t open = 0; ///< dates whose order matters
  bool day_first = false;
  bool month_first = false;
  bool short_year = false;
  std::string_view example;
};

OrderEvidence evidence_of(const std::vector<std::string_view>& cells) {
  OrderEvidence evidence;
  for (const std::string_view cell : cells) {
    DateFields fields;
    if (!look_at_date(cell, fields) || fields.year_first || fields.month_named ||
        fields.mark == '.')
      continue;
    if (++evidence.open == 1) evidence.example = cell;
    evidence.day_first |= fields.first > 12;
    evidence.month_first |= fields.second > 12;
    evidence.short_year |= fields.short_year;
  }
  return evidence;
}

Error unclear_order(const TableHead& head, const ColumnPlan& plan, std::size_t column,
                    std::string_view example) {
  const std::size_t time = plan.of(Role::time)->index;
  const std::string heading = head.heading_of(time).empty()
                                  ? std::to_string(time + 1)
                                  : fmt::format("\"{}\"", head.heading_of(time));
  return input_error(
      head.origin_of(column),
      fmt::format("the dates could be read day first or month first, e.g. '{}'", example),
      head.text,
      fmt::format("say which with --column time={}:dmy or --column time={}:mdy", heading, heading));
}

Result<DateOrder> find_order(const TableHead& head, const ColumnPlan& plan, std::size_t column,
                             const std::vector<std::string_view>& cells) {
  if (plan.date_order == "dmy") return DateOrder::dmy;
  if (plan.date_order == "mdy") return DateOrder::mdy;
  const OrderEvidence evidence = evidence_of(cells);
  if (evidence.open == 0) return DateOrder::unknown;
  // With two digits the first field could be a year as well, so a field above 12 proves nothing.
  if (evidence.short_year || evidence.day_first == evidence.month_first) {
    return unclear_order(head, plan, column, evidence.example);
  }
  return evidence.day_first ? DateOrder::dmy : DateOrder::mdy;
}

std::size_t hits(const ClockFormat& format, const NumberStyle& numbers, const Cells& cells) {
  Instant instant;
  std::size_t count = 0;
  for (std::size_t i = 0; i < cells.time.size(); ++i) {
    count += read_time(format, numbers, cells.time[i], cells.date[i], instant) ? 1U : 0U;
  }
  return count;
}

struct NumberSample {
  double typical = 0.0; ///< the middle value
  double step = 0.0;    ///< the middle step of those that are not zero
};

double middle_of(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

NumberSample look_at_numbers(const NumberStyle& style, const Cells& cells) {
  std::vector<double> values;
  std::vector<double> steps;
  for (const std::string_view cell : cells.time) {
    const auto value = number_in(cell, style);
    if (!value) continue;
    if (!values.empty() && *value != values.back())
      steps.push_back(std::abs(*value - values.back()));
    values.push_back(*value);
  }
  return {middle_of(values), middle_of(steps)};
}

bool is_epoch(double seconds) { return seconds >= k_epoch_from_s && seconds <= k_epoch_to_s; }

void set_unit(ClockFormat& format, const Unit& unit, std::string_view origin) {
  format.scale = unit.scale;
  format.unit = unit.name;
  format.unit_origin = origin;
}

std::string name_in_words(std::string_view unit) {
  static constexpr std::array<std::pair<std::string_view, std::string_view>, 6> names{
      {{"s", "seconds"},
       {"ms", "milliseconds"},
       {"µs", "microseconds"},
       {"ns", "nanoseconds"},
       {"min", "minutes"},
       {"h", "hours"}}};
  const auto* found =
      std::find_if(names.begin(), names.end(), [&](const auto& n) { return n.first == unit; });
  return std::string(found == names.end() ? unit : found->second);
}

/// Numbers without a unit: an epoch shows by its size, milliseconds by their steps.
void guess_number(ClockFormat& format, const NumberSample& sample) {
  static constexpr std::array<std::string_view, 4> epochs{"s", "ms", "us", "ns"};
  const bool coarse = sample.step >= k_millisecond_step;
  for (const std::string_view spelling : epochs) {
    const Unit unit = *unit_named(spelling, Quantity::time);
    if (!is_epoch(sample.typical * unit.scale) || (spelling == "s" && coarse)) continue;
    set_unit(format, unit, "values");
    format.note = fmt::format("time has no unit: by its size it is a Unix time in {}",
                              name_in_words(unit.name));
    return;
  }
  if (sample.typical > 30000 && sample.typical < 60000 && sample.step > 0 && sample.step < 0.001) {
    format.scale = 86400.0;
    format.offset_s = -k_spreadsheet_epoch_day * 86400.0;
    format.kind = ClockKind::date_time;
    format.unit = "days";
    format.unit_origin = "values";
    format.words = "spreadsheet days";
    format.note = "time has no unit: by its size and steps it counts days as spreadsheets do";
    return;
  }
  set_unit(format, *unit_named(coarse ? "ms" : "s", Quantity::time), coarse ? "values" : "assumed");
  format.note =
      coarse ? fmt::format("time has no unit: milliseconds by its steps of {:g}", sample.step)
             : "time has no unit: read as seconds";
}

void settle_number(ClockFormat& format, const ColumnUse& use, const NumberSample& sample) {
  if (use.unit)
    set_unit(format, *use.unit, use.unit_origin);
  else
    guess_number(format, sample);
  if (!format.words.empty()) return;
  const bool epoch = is_epoch(sample.typical * format.scale);
  format.kind = epoch ? ClockKind::absolute : ClockKind::elapsed;
  format.words = (epoch ? "Unix " : "") + name_in_words(format.unit);
}

void settle_text(ClockFormat& format, bool zoned) {
  format.unit_origin = "values";
  switch (format.text) {
  case TimeText::number: break;
  case TimeText::date_time:
  case TimeText::compact:
    format.kind = zoned ? ClockKind::absolute : ClockKind::date_time;
    format.zoned = zoned;
    format.words = "ISO 8601";
    if (format.order != DateOrder::unknown) {
      format.words = format.order == DateOrder::dmy ? "date and time, day first"
                                                    : "date and time, month first";
    }
    break;
  case TimeText::clock:
    format.kind = format.joined ? ClockKind::date_time : ClockKind::clock_of_day;
    format.words = format.joined ? "date and clock time in two columns" : "clock time";
    format.wrap_s = format.joined ? 0.0 : 86400.0;
    break;
  case TimeText::minutes:
    format.words = "minutes and seconds";
    format.wrap_s = 3600.0;
    break;
  }
}

Error no_time(const TableHead& head, std::size_t column, const Cells& cells,
              const ClockFormat& best) {
  std::string example = "every cell is empty";
  for (std::size_t i = cells.time.size(); i-- > 0;) {
    Instant instant;
    if (read_time(best, head.numbers, cells.time[i], cells.date[i], instant)) continue;
    example = fmt::format("e.g. '{}'", cells.time[i]);
  }
  return input_error(head.origin_of(column),
                     fmt::format("the time column cannot be read as a time: {}", example),
                     head.text, "choose another column with --column time=\"HEADING\"");
}

bool has_two_parts(const Cells& cells) {
  return !cells.time.empty() &&
         std::all_of(cells.time.begin(), cells.time.end(), [](std::string_view cell) {
           return std::count(cell.begin(), cell.end(), ':') == 1;
         });
}

/// The date column is of use only beside clock times, and only if its cells are dates.
Result<bool> settle_join(ClockFormat& format, const TableHead& head, const ColumnPlan& plan,
                         const Cells& cells) {
  if (format.text != TimeText::clock || !plan.date) return false;
  auto order = find_order(head, plan, *plan.date, cells.date);
  if (!order) return order.error();
  ClockFormat joined = format;
  joined.joined = true;
  joined.order = *order;
  if (hits(joined, head.numbers, cells) * 2 > cells.time.size()) format = joined;
  return true;
}

} // namespace

bool read_time(const ClockFormat& format, const NumberStyle& numbers, std::string_view cell,
               std::string_view date, Instant& instant) {
  switch (format.text) {
  case TimeText::number: {
    const auto value = number_in(cell, numbers);
    if (value) instant.seconds = *value * format.scale + format.offset_s;
    return value.has_value();
  }
  case TimeText::date_time:
    return read_date_time(cell, format.order, instant) && instant.zoned == format.zoned;
  case TimeText::compact: return read_compact(cell, instant) && instant.zoned == format.zoned;
  case TimeText::minutes: return read_minutes(cell, instant.seconds);
  case TimeText::clock: break;
  }
  if (!read_clock_time(cell, instant.seconds)) return false;
  if (!format.joined) return true;
  double date_s = 0.0;
  if (!read_date(date, format.order, date_s)) return false;
  instant.seconds += date_s;
  return true;
}

Result<ClockFormat> find_clock_format(const TableHead& head, const ColumnPlan& plan) {
  const ColumnUse& use = *plan.of(Role::time);
  const Cells cells = cells_of(head, plan);
  auto order = find_order(head, plan, use.index, cells.time);
  if (!order) return order.error();
  ClockFormat best;
  std::size_t best_hits = 0;
  for (const TimeText text : {TimeText::compact, TimeText::number, TimeText::date_time,
                              TimeText::minutes, TimeText::clock}) {
    for (const bool zoned : {false, true}) {
      ClockFormat format;
      format.text = text;
      format.order = *order;
      format.zoned = zoned;
      const std::size_t count = hits(format, head.numbers, cells);
      if (count <= best_hits) continue;
      best_hits = count;
      best = format;
    }
  }
  if (best_hits * 2 <= cells.time.size()) return no_time(head, use.index, cells, best);
  if (auto joined = settle_join(best, head, plan, cells); !joined) return joined.error();
  if (best.text == TimeText::number)
    settle_number(best, use, look_at_numbers(head.numbers, cells));
  else
    settle_text(best, best.zoned);
  if (best.text == TimeText::clock && has_two_parts(cells)) {
    best.note =
        "times such as '" + std::string(cells.time.front()) +
        "' are read as hours and minutes; minutes and seconds need a fraction, as in 12:34.0";
  }
  return best;
}

} // namespace coolband
