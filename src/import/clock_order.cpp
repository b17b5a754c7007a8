// SPDX-License-Identifier: Apache-2.0
// Orders are struck out one by one by what the sample shows.
#include "import/clock_order.hpp"

#include "import/clock_text.hpp"
#include "import/input_error.hpp"
#include "import/time_form.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::array k_orders{DateOrder::dmy, DateOrder::mdy, DateOrder::ymd};
/// A drive that goes on over midnight has its next row well within this time.
constexpr double k_same_drive_s = 6 * 3600.0;

/// A date whose order matters, as it stands in one row.
struct OpenDate {
  DateFields fields;
  std::string_view cell;
  std::string_view clock; ///< the clock time in another column, or empty
};

std::vector<OpenDate> open_dates(const ClockSample& sample, bool own_column) {
  std::vector<OpenDate> dates;
  for (std::size_t i = 0; i < sample.time.size(); ++i) {
    std::string_view cell = own_column ? sample.date[i] : sample.time[i];
    OpenDate date{{}, cell, own_column ? sample.time[i] : std::string_view()};
    cell = trimmed(cell);
    if (!take_date_fields(cell, date.fields) || date.fields.year_first || date.fields.month_named)
      continue;
    dates.push_back(date);
  }
  return dates;
}

bool is_date(const OpenDate& date, DateOrder order) {
  return (order != DateOrder::ymd || date.fields.short_year) &&
         days_of(date.fields, order).has_value();
}

/// The orders that make a date of every cell that is a date in any order.
std::vector<DateOrder> orders_left(const std::vector<OpenDate>& dates) {
  std::vector<DateOrder> left(k_orders.begin(), k_orders.end());
  for (const OpenDate& date : dates) {
    const auto fits = [&](DateOrder order) { return is_date(date, order); };
    if (std::none_of(k_orders.begin(), k_orders.end(), fits)) continue;
    left.erase(
        std::remove_if(left.begin(), left.end(), [&](DateOrder order) { return !fits(order); }),
        left.end());
  }
  return left;
}

bool read_whole(const OpenDate& date, DateOrder order, double& seconds) {
  if (date.clock.empty()) {
    Instant instant;
    const bool read = read_date_time(date.cell, order, instant);
    seconds = instant.seconds;
    return read;
  }
  std::string_view cell = date.cell;
  double clock_s = 0.0;
  if (!take_date(cell, order, seconds) || !read_clock_time(date.clock, clock_s)) return false;
  seconds += clock_s;
  return true;
}

/// The log goes from one date to another within a few hours, either way, wherever the date changes.
bool follows_on(const std::vector<OpenDate>& dates, DateOrder order) {
  bool changed = false;
  for (std::size_t i = 1; i < dates.size(); ++i) {
    const DateFields& a = dates[i - 1].fields;
    const DateFields& b = dates[i].fields;
    if (a.first == b.first && a.second == b.second && a.third == b.third) continue;
    double before_s = 0.0;
    double after_s = 0.0;
    if (!read_whole(dates[i - 1], order, before_s) || !read_whole(dates[i], order, after_s))
      continue;
    if (std::abs(after_s - before_s) > k_same_drive_s) return false;
    changed = true;
  }
  return changed;
}

std::string_view name_of(DateOrder order) {
  switch (order) {
  case DateOrder::dmy: return "dmy";
  case DateOrder::mdy: return "mdy";
  case DateOrder::ymd: return "ymd";
  case DateOrder::unknown: break;
  }
  return "";
}

std::string_view words_of_order(DateOrder order) {
  switch (order) {
  case DateOrder::dmy: return "day first";
  case DateOrder::mdy: return "month first";
  case DateOrder::ymd: return "year first";
  case DateOrder::unknown: break;
  }
  return "";
}

Error unclear_order(const TableHead& head, const ColumnPlan& plan, std::size_t column,
                    std::vector<DateOrder> left, const std::vector<OpenDate>& dates) {
  if (left.empty()) left = {DateOrder::dmy, DateOrder::mdy};
  std::string ways;
  std::string choices;
  for (const DateOrder order : left) {
    ways += fmt::format("{}{}", ways.empty() ? "" : " or ", words_of_order(order));
    choices += fmt::format("{}--column time={}:{}", choices.empty() ? "" : " or ",
                           time_heading(head, plan), name_of(order));
  }
  return input_error(head.origin_of(column),
                     fmt::format("the dates could be read {}, e.g. '{}' (told from the first {} "
                                 "rows)",
                                 ways, dates.front().cell, head.sample.size()),
                     head.text, fmt::format("say which with {}", choices));
}

DateOrder stated_order(const TableHead& head, const ColumnPlan& plan, std::size_t column) {
  for (const TimeForm& form : stated_forms(head, plan, column)) {
    if (form.order != DateOrder::unknown) return form.order;
  }
  return DateOrder::unknown;
}

} // namespace

Result<OrderFound> find_date_order(const TableHead& head, const ColumnPlan& plan,
                                   std::size_t column) {
  const bool own_column = plan.date == column;
  const auto dates = open_dates(clock_sample(head, plan), own_column);
  const DateOrder stated = stated_order(head, plan, column);
  if (stated != DateOrder::unknown) return OrderFound{stated, {}};
  if (dates.empty()) return OrderFound{};
  std::vector<DateOrder> left = orders_left(dates);
  if (left.size() == 1) return OrderFound{left[0], {}};
  const bool points = std::all_of(dates.begin(), dates.end(),
                                  [](const OpenDate& date) { return date.fields.mark == '.'; });
  if (points && !left.empty() && left[0] == DateOrder::dmy) {
    return OrderFound{
        DateOrder::dmy,
        fmt::format("dates with points, e.g. '{}', are read day first", dates.front().cell)};
  }
  std::vector<DateOrder> following;
  std::copy_if(left.begin(), left.end(), std::back_inserter(following),
               [&](DateOrder order) { return follows_on(dates, order); });
  if (following.size() == 1) {
    return OrderFound{following[0],
                      fmt::format("the dates are read {}, as they go on to the next day at "
                                  "midnight then",
                                  words_of_order(following[0]))};
  }
  return unclear_order(head, plan, column, left, dates);
}

} // namespace coolband
