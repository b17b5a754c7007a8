// SPDX-License-Identifier: Apache-2.0
// Deciding by a vote of the sample: every kind of time text tries every cell, and most hits win.
#include "import/clock_format.hpp"

#include "import/clock_digits.hpp"
#include "import/clock_number.hpp"
#include "import/clock_order.hpp"
#include "import/clock_units.hpp"
#include "import/input_error.hpp"
#include "import/time_form.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

std::size_t hits(const ClockFormat& format, const NumberStyle& numbers, const ClockSample& cells) {
  Instant instant;
  std::size_t count = 0;
  for (std::size_t i = 0; i < cells.time.size(); ++i) {
    count += read_time(format, numbers, cells.time[i], cells.date[i], instant) ? 1U : 0U;
  }
  return count;
}

ClockFormat best_format(const TableHead& head, const ClockSample& cells, DateOrder order,
                        std::size_t& best_hits) {
  ClockFormat best;
  best_hits = 0;
  for (const TimeText text : {TimeText::compact, TimeText::number, TimeText::date_time,
                              TimeText::parts, TimeText::duration}) {
    for (const bool zoned : {false, true}) {
      ClockFormat format;
      format.text = text;
      format.order = order;
      format.zoned = zoned;
      const std::size_t count = hits(format, head.numbers, cells);
      if (count <= best_hits) continue;
      best_hits = count;
      best = format;
      if (count == cells.time.size()) return best; // none can be better
    }
  }
  return best;
}

/// What to do about a cell that is no time in this column.
std::string time_remedy(const TableHead& head, std::size_t column, std::string_view cell) {
  std::string choose = "choose another column with --column time=\"HEADING\"";
  cell = trimmed(cell);
  if (cell.empty()) return choose;
  if (number_in(cell, head.numbers))
    return fmt::format("state its unit, e.g. --column time=\"{}\":ms, or {}",
                       head.heading_of(column), choose);
  const std::size_t zone = cell.find_last_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ") + 1;
  if (zone > 0 && zone + 2 < cell.size() && cell[zone - 1] == ' ')
    return fmt::format(
        "names of zones such as {} are not read: leave them out, or write the offset "
        "behind the time, e.g. +01:00",
        cell.substr(zone));
  if (std::count(cell.begin(), cell.end(), '.') >= 2)
    return "write clock times with colons, e.g. 09:15:00, or " + choose;
  return choose;
}

Error no_time(const TableHead& head, std::size_t column, const ClockSample& cells,
              const ClockFormat& best) {
  // Where each can be read, all are absurd.
  std::string_view strange = cells.time.empty() ? std::string_view() : cells.time.front();
  for (std::size_t i = cells.time.size(); i-- > 0;) {
    Instant instant;
    if (read_time(best, head.numbers, cells.time[i], cells.date[i], instant)) continue;
    strange = cells.time[i];
  }
  const std::string example =
      cells.time.empty() ? "every cell is empty" : fmt::format("e.g. '{}'", strange);
  return input_error(head.origin_of(column),
                     fmt::format("the time column cannot be read as a time: {}", example),
                     head.text, time_remedy(head, column, strange));
}

/// What the clock times of the sample look like.
struct PartsSeen {
  std::size_t two = 0;        ///< "12:34"
  std::size_t more = 0;       ///< "12:34:56"
  bool fraction = false;      ///< "12:34.5"
  bool above_23 = false;      ///< "24:01", "75:00"; not 24:00
  bool half_day = false;      ///< with AM or PM
  std::string_view first_two; ///< of the cells of two parts
};

PartsSeen look_at_parts(const ClockSample& cells) {
  PartsSeen seen;
  for (const std::string_view cell : cells.time) {
    const auto colons = std::count(cell.begin(), cell.end(), ':');
    seen.half_day |= cell.find_first_of("aApP") != std::string_view::npos;
    if (colons > 1) ++seen.more;
    if (colons != 1) continue;
    if (++seen.two == 1) seen.first_two = trimmed(cell);
    seen.fraction |= cell.find_first_of(".,") != std::string_view::npos;
    double seconds = 0.0;
    seen.above_23 |= read_minutes(cell, seconds) && seconds >= 24 * 60.0 + 1.0;
  }
  return seen;
}

/// The form that the user, the heading or the row of units states.
TimeForm::Parts stated_parts(const TableHead& head, const ColumnPlan& plan) {
  using Parts = TimeForm::Parts;
  const ColumnUse& use = *plan.of(Role::time);
  for (const TimeForm& form : stated_forms(head, plan, use.index)) {
    if (form.parts != Parts::unknown) return form.parts;
  }
  if (use.unit && use.unit->name == "min") return Parts::minutes;
  if (use.unit && use.unit->name == "h") return Parts::hours;
  return Parts::unknown;
}

Error unclear_parts(const TableHead& head, const ColumnPlan& plan, std::string_view example) {
  const std::string heading = time_heading(head, plan);
  return input_error(
      head.origin_of(plan.of(Role::time)->index),
      fmt::format("times such as '{}' could be hours and minutes or minutes and seconds", example),
      head.text,
      fmt::format("say which with --column time={}:hh:mm or --column time={}:mm:ss", heading,
                  heading));
}

/// Times of two parts are minutes and seconds where that is stated, where they have a fraction, a
/// first part above 23, or times of three parts beside them (a stop watch beyond the hour); hours
/// and minutes where that is stated, beside a date, and with AM or PM.
Result<bool> settle_parts(ClockFormat& format, const TableHead& head, const ColumnPlan& plan,
                          const ClockSample& cells) {
  if (format.text != TimeText::parts) return false;
  const PartsSeen seen = look_at_parts(cells);
  const TimeForm::Parts stated = stated_parts(head, plan);
  format.text = TimeText::clock;
  if (stated == TimeForm::Parts::hours || format.joined || seen.half_day) return true;
  const bool minutes = stated == TimeForm::Parts::minutes;
  if (seen.two == 0) return true;
  if (!minutes && !seen.fraction && !seen.above_23 && seen.more == 0)
    return unclear_parts(head, plan, seen.first_two);
  format.text = TimeText::minutes;
  if (!minutes && !seen.fraction) {
    format.notes.push_back(fmt::format(
        "times such as '{}' are read as minutes and seconds, as {}", seen.first_two,
        seen.above_23 ? "their first part goes above 23" : "times with hours stand beside them"));
  }
  return true;
}

/// The date column is of use only beside clock times, and only if its cells are dates.
Result<bool> settle_join(ClockFormat& format, const TableHead& head, const ColumnPlan& plan,
                         const ClockSample& cells) {
  if ((format.text != TimeText::parts && format.text != TimeText::digits) || !plan.date)
    return false;
  auto order = find_date_order(head, plan, *plan.date);
  if (!order) return order.error();
  ClockFormat joined = format;
  if (format.text == TimeText::parts) joined.text = TimeText::clock;
  joined.joined = true;
  joined.order = order->order;
  if (hits(joined, head.numbers, cells) * 2 <= cells.time.size()) return false;
  format.joined = true;
  format.order = order->order;
  if (!order->note.empty()) format.notes.push_back(order->note);
  return true;
}

std::vector<double> instants_of(const ClockFormat& format, const NumberStyle& numbers,
                                const ClockSample& cells) {
  std::vector<double> instants;
  Instant instant;
  for (std::size_t i = 0; i < cells.time.size(); ++i) {
    if (read_time(format, numbers, cells.time[i], cells.date[i], instant) &&
        std::abs(instant.seconds) <= k_absurd_s)
      instants.push_back(instant.seconds);
  }
  return instants;
}

/// A clock time that starts at 0 or goes beyond 24 hours is a stop watch.
void settle_clock(ClockFormat& format, const ClockSample& cells,
                  const std::vector<double>& instants) {
  if (format.joined) {
    format.kind = ClockKind::date_time;
    format.words = "date and clock time in two columns";
    return;
  }
  const double most = *std::max_element(instants.begin(), instants.end());
  const double least = *std::min_element(instants.begin(), instants.end());
  const bool from_zero = std::abs(instants.front()) < 1.0 && !look_at_parts(cells).half_day;
  format.kind = ClockKind::clock_of_day;
  format.words = "clock time";
  if (most <= k_day_s) format.wraps_s = {k_day_s};
  if (most <= k_day_s && least >= 0.0 && !from_zero) return;
  format.kind = ClockKind::elapsed;
  format.words = "hours, minutes and seconds";
  format.notes.emplace_back(
      from_zero && most <= k_day_s
          ? "the clock times start at 0: they are read as time run, not as time of day"
          : "the clock times leave the 24 hours of a day: they are read as time run");
}

void settle_dates(ClockFormat& format) {
  format.kind = format.zoned ? ClockKind::absolute : ClockKind::date_time;
  switch (format.order) {
  case DateOrder::unknown: format.words = "ISO 8601"; break;
  case DateOrder::dmy: format.words = "date and time, day first"; break;
  case DateOrder::mdy: format.words = "date and time, month first"; break;
  case DateOrder::ymd: format.words = "date and time, year first"; break;
  }
}

void settle_text(ClockFormat& format, const ColumnUse& use, const ClockSample& cells,
                 const std::vector<double>& instants) {
  format.unit_origin = "values";
  if (use.unit && format.text != TimeText::minutes && format.text != TimeText::clock &&
      format.text != TimeText::digits) {
    format.notes.push_back(fmt::format(
        "the unit {} of the time column is not used, as its cells are no numbers", use.unit->name));
  }
  switch (format.text) {
  case TimeText::number: break;
  case TimeText::date_time:
  case TimeText::compact: settle_dates(format); break;
  case TimeText::parts:
  case TimeText::digits:
  case TimeText::clock: settle_clock(format, cells, instants); break;
  case TimeText::minutes:
    format.words = "minutes and seconds";
    if (std::all_of(instants.begin(), instants.end(), [](double s) { return s < k_hour_s; }))
      format.wraps_s = {k_hour_s};
    break;
  case TimeText::duration: format.words = "ISO 8601 durations"; break;
  }
}

/// The period, and whether the rows run backwards: no fewer than three steps back, and not one
/// forward for twenty of them.
void look_at_steps(ClockFormat& format, const std::vector<double>& instants) {
  std::vector<double> steps;
  std::size_t back = 0;
  for (std::size_t i = 1; i < instants.size(); ++i) {
    double step = instants[i] - instants[i - 1];
    // Midnight is no step of a day.
    if (format.kind == ClockKind::clock_of_day) step = std::remainder(step, k_day_s);
    if (step != 0.0) steps.push_back(std::abs(step));
    back += step < 0.0 ? 1U : 0U;
  }
  format.period_s = middle_of(steps);
  format.newest_first = back >= 3 && (steps.size() - back) * 20 < back;
  if (!format.newest_first) return;
  format.notes.emplace_back("the newest row stands first: the rows are read from the last to the "
                            "first");
}

} // namespace

bool read_time(const ClockFormat& format, const NumberStyle& numbers, std::string_view cell,
               std::string_view date, Instant& instant) {
  bool read = false;
  switch (format.text) {
  case TimeText::number: {
    const auto value = number_in(cell, numbers);
    if (value) instant.seconds = *value * format.scale + format.offset_s;
    return value.has_value();
  }
  case TimeText::date_time:
    return read_date_time(cell, format.order, instant) && instant.zoned == format.zoned;
  case TimeText::compact: return read_compact(cell, instant) && instant.zoned == format.zoned;
  case TimeText::duration: read = read_duration(cell, instant.seconds); break;
  case TimeText::digits: read = read_clock_digits(cell, instant.seconds); break;
  case TimeText::minutes:
    read = read_minutes(cell, instant.seconds) || read_span(cell, instant.seconds);
    break;
  case TimeText::parts:
    read = read_clock_time(cell, instant.seconds) || read_span(cell, instant.seconds) ||
           read_minutes(cell, instant.seconds);
    break;
  case TimeText::clock:
    read = read_clock_time(cell, instant.seconds) ||
           (!format.joined && read_span(cell, instant.seconds));
    break;
  }
  if (!format.joined) return read;
  double date_s = 0.0;
  if (!read || !take_date(date, format.order, date_s)) return false;
  instant.seconds += date_s;
  return true;
}

Result<ClockFormat> find_clock_format(const TableHead& head, const ColumnPlan& plan) {
  const ColumnUse& use = *plan.of(Role::time);
  const ClockSample cells = clock_sample(head, plan);
  auto order = find_date_order(head, plan, use.index);
  if (!order) return order.error();
  std::size_t best_hits = 0;
  ClockFormat best = best_format(head, cells, order->order, best_hits);
  if (best_hits * 2 <= cells.time.size()) return no_time(head, use.index, cells, best);
  if (!order->note.empty()) best.notes.push_back(order->note);
  if (best.text == TimeText::number) settle_digits(best, head, plan, cells);
  if (auto joined = settle_join(best, head, plan, cells); !joined) return joined.error();
  if (auto settled = settle_parts(best, head, plan, cells); !settled) return settled.error();
  if (best.text == TimeText::number) settle_number(best, head, plan, cells);
  const auto instants = instants_of(best, head.numbers, cells);
  if (instants.empty()) return no_time(head, use.index, cells, best);
  if (best.text != TimeText::number) settle_text(best, use, cells, instants);
  look_at_steps(best, instants);
  return best;
}

} // namespace coolband
