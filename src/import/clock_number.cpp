// SPDX-License-Identifier: Apache-2.0
// Every guess is a note; a stated unit needs none.
#include "import/clock_number.hpp"

#include "import/clock_units.hpp"
#include "import/heading.hpp"
#include "import/time_form.hpp"

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
constexpr double k_longest_step = 100.0;
/// Numbers that count days: where they lie from the 1980s to the 2080s, and which of them is
/// 1970-01-01.
struct DayCount {
  double from;
  double to;
  double epoch_day;
  const char* words;
  const char* origin;
};
// Spreadsheets begin with 1899-12-30, Julian days at noon of -4712-01-01, modified ones with
// 1858-11-17 (from memory). A spreadsheet's 60000 is a day of 2064, a modified Julian one of 2023.
constexpr std::array<DayCount, 3> k_day_counts{
    {{30000.0, 60000.0, 25569.0, "spreadsheet days",
      "spreadsheet days are counted from 1899-12-30, not from 1904"},
     {60000.0, 80000.0, 40587.0, "modified Julian days",
      "modified Julian days are counted from 1858-11-17"},
     {2444000.0, 2490000.0, 2440587.5, "Julian days",
      "Julian days are counted from noon of -4712-01-01"}}};
// A day has as many hours; what counts them is far below any count of days.
constexpr double k_most_hours = 24.0;
// Days run would have rows further apart than logs have (common practice, no source): they are
// hours.
constexpr double k_longest_step_of_days_s = 15.0;
// Steps finer than a thousandth would be more than a thousand rows a second in seconds.
constexpr double k_finest_step = 0.001;
constexpr double k_longest_day_step = 0.011; // a quarter of an hour

struct NumberSample {
  std::vector<double> values;
  double typical = 0.0; ///< the middle value
  double step = 0.0;    ///< the middle step of those that are not zero
};

NumberSample numbers_of(const NumberStyle& style, const ClockSample& cells) {
  NumberSample sample;
  std::vector<double> steps;
  for (const std::string_view cell : cells.time) {
    const auto value = number_in(cell, style);
    if (!value) continue;
    if (!sample.values.empty() && *value != sample.values.back())
      steps.push_back(std::abs(*value - sample.values.back()));
    sample.values.push_back(*value);
  }
  sample.typical = middle_of(sample.values);
  sample.step = middle_of(std::move(steps));
  return sample;
}

bool is_epoch(double seconds) { return seconds >= k_epoch_from_s && seconds <= k_epoch_to_s; }

void set_unit(ClockFormat& format, const Unit& unit, std::string_view origin) {
  format.scale = unit.scale;
  format.unit = unit.name;
  format.unit_origin = origin;
}

std::string name_in_words(std::string_view unit) {
  static constexpr std::array<std::pair<std::string_view, std::string_view>, 7> names{
      {{"s", "seconds"},
       {"ms", "milliseconds"},
       {"µs", "microseconds"},
       {"ns", "nanoseconds"},
       {"min", "minutes"},
       {"h", "hours"},
       {"days", "days"}}};
  const auto* found =
      std::find_if(names.begin(), names.end(), [&](const auto& n) { return n.first == unit; });
  return std::string(found == names.end() ? unit : found->second);
}

bool are_multiples_of(const std::vector<double>& values, double part) {
  return std::all_of(values.begin(), values.end(), [&](double value) {
    return std::abs(value / part - std::round(value / part)) < 0.01;
  });
}

/// Steps of seconds to minutes, taken as parts of a day. Steps above a thousandth count only on
/// whole minutes that are not whole thousandths as well.
bool steps_as_days(const NumberSample& sample) {
  if (sample.step <= 0.0 || sample.step >= k_longest_day_step) return false;
  if (sample.step < k_finest_step) return true;
  return are_multiples_of(sample.values, 1.0 / 1440.0) && !are_multiples_of(sample.values, 0.001);
}

bool is_day_fraction(const NumberSample& sample) {
  return std::all_of(sample.values.begin(), sample.values.end(),
                     [](double value) { return value >= 0.0 && value <= 1.0; });
}

const DayCount* day_count_of(const NumberSample& sample) {
  const auto* found =
      std::find_if(k_day_counts.begin(), k_day_counts.end(), [&](const DayCount& count) {
        return sample.typical > count.from && sample.typical < count.to;
      });
  return found == k_day_counts.end() ? nullptr : found;
}

/// Steps that would be more than a thousand rows a second: hours of a day, or hours run.
bool steps_as_hours(const NumberSample& sample) {
  if (sample.step <= 0.0 || sample.step >= k_finest_step) return false;
  const bool hours = std::all_of(sample.values.begin(), sample.values.end(), [](double value) {
    return value >= 0.0 && value <= k_most_hours;
  });
  if (!hours) return false;
  return !is_day_fraction(sample) ||
         (sample.values.front() == 0.0 && sample.step * k_day_s > k_longest_step_of_days_s);
}

void set_days(ClockFormat& format, const NumberSample& sample, std::string_view origin) {
  format.scale = k_day_s;
  format.unit = "days";
  format.unit_origin = origin;
  if (const DayCount* count = day_count_of(sample)) {
    format.offset_s = -count->epoch_day * k_day_s;
    format.kind = ClockKind::date_time;
    format.words = count->words;
    format.notes.emplace_back(count->origin);
  } else if (is_day_fraction(sample) && sample.values.front() > 0.0) {
    format.kind = ClockKind::clock_of_day;
    format.words = "fractions of a day";
    format.wraps_s = {k_day_s};
  }
}

Unit unit_by_steps(double step) {
  double scale = 1.0;
  std::string_view name = "s";
  for (const std::string_view finer : {"ms", "us", "ns"}) {
    if (step * scale < k_longest_step) break;
    name = finer;
    scale = unit_named(finer, Quantity::time)->scale;
  }
  return *unit_named(name, Quantity::time);
}

/// Numbers without a unit: an epoch shows by its size, everything else by its steps.
void guess_number(ClockFormat& format, const NumberSample& sample) {
  const bool coarse = sample.step >= k_longest_step;
  for (const std::string_view spelling : {"s", "ms", "us", "ns"}) {
    const Unit unit = *unit_named(spelling, Quantity::time);
    if (!is_epoch(sample.typical * unit.scale) || (spelling == "s" && coarse)) continue;
    set_unit(format, unit, "values");
    format.notes.push_back(fmt::format("time has no unit: by its size it is a Unix time in {}",
                                       name_in_words(unit.name)));
    return;
  }
  if (steps_as_hours(sample)) {
    set_unit(format, *unit_named("h", Quantity::time), "values");
    format.notes.emplace_back("time has no unit: by its size and steps it counts hours");
    return;
  }
  const DayCount* count = day_count_of(sample);
  if (steps_as_days(sample) && (count != nullptr || is_day_fraction(sample))) {
    set_days(format, sample, "values");
    format.notes.push_back(
        count != nullptr
            ? fmt::format("time has no unit: by its size and steps it counts {}", count->words)
            : "time has no unit: by its size and steps it is the fraction of a day gone by");
    return;
  }
  const Unit unit = unit_by_steps(sample.step);
  set_unit(format, unit, coarse ? "values" : "assumed");
  format.notes.push_back(coarse ? fmt::format("time has no unit: {} by its steps of {:g}",
                                              name_in_words(unit.name), sample.step)
                                : "time has no unit: read as seconds");
}

/// Where counters of the usual widths start again: 16 bits of seconds (a run time as in SAE J1979),
/// 16 or 32 bits of milliseconds, 32 bits of microseconds.
std::vector<double> counter_ends(std::string_view unit) {
  constexpr double k_bits_16 = 65536.0;
  constexpr double k_bits_32 = 4294967296.0;
  if (unit == "s") return {k_bits_16};
  if (unit == "ms") return {k_bits_16 * 1e-3, k_bits_32 * 1e-3};
  if (unit == "µs") return {k_bits_32 * 1e-6};
  return {};
}

/// The heading itself may be the unit: "Minutes".
std::optional<Unit> unit_of_heading(const TableHead& head, std::size_t column) {
  return unit_for(Role::time, head.heading_of(column));
}

} // namespace

void settle_number(ClockFormat& format, const TableHead& head, const ColumnPlan& plan,
                   const ClockSample& cells) {
  const ColumnUse& use = *plan.of(Role::time);
  const NumberSample sample = numbers_of(head.numbers, cells);
  const auto given = read_time_form(plan.time_form);
  const auto named = time_form_of(head.heading_of(use.index));
  if (given && given->days)
    set_days(format, sample, "given");
  else if (use.unit)
    set_unit(format, *use.unit, use.unit_origin);
  else if (named && named->days)
    set_days(format, sample, "heading");
  else if (const auto unit = unit_of_heading(head, use.index))
    set_unit(format, *unit, "heading");
  else
    guess_number(format, sample);
  if (!format.words.empty()) return;
  const bool epoch = is_epoch(sample.typical * format.scale);
  format.kind = epoch ? ClockKind::absolute : ClockKind::elapsed;
  format.words = (epoch ? "Unix " : "") + name_in_words(format.unit);
  if (!epoch) format.wraps_s = counter_ends(format.unit);
}

} // namespace coolband
