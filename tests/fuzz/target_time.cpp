// SPDX-License-Identifier: Apache-2.0
// Cells that may be times or numbers, one a line: each by every reader, and all as a log's clock.
#include "coolband/core/timestamp.hpp"
#include "coolband/import/import_log.hpp"
#include "fuzz/properties.hpp"
#include "import/clock_text.hpp"
#include "import/number_text.hpp"

#include <charconv>
#include <cmath>

namespace coolband::testing {

namespace {

using SpanReader = bool (*)(std::string_view, double&);

constexpr double k_day_s = 86400.0;

void check_span(SpanReader read, std::string_view cell, double least, double most) {
  double seconds = 0.0;
  const bool known = read(cell, seconds);
  double blank = 0.0;
  require(read(" " + std::string(cell) + "\t", blank) == known, "blanks around do not matter");
  if (!known) return;
  require(seconds >= least && seconds <= most, "a span of time is within its bounds");
  require(seconds == blank, "blanks around do not matter");
}

/// What is written for a person is read again as the same second.
void check_instant(const Instant& instant) {
  require(std::isfinite(instant.seconds), "an instant is finite");
  require(std::abs(instant.offset_min) < 15 * 60, "an offset is less than 15 hours");
  require(instant.zoned || instant.offset_min == 0, "without a zone there is no offset");
  const Clock clock{instant.zoned ? ClockKind::absolute : ClockKind::date_time, instant.seconds,
                    instant.offset_min};
  const std::string text = format_instant(clock, 0.0);
  Instant again;
  // A day beyond the years 1 and 9999 cannot be written with four digits.
  if (std::abs(instant.seconds - 1.22e11) > 1.8e11) return;
  if (text.starts_with("-") || text.starts_with("0000") || text[4] != '-') return;
  require(read_date_time(text, DateOrder::unknown, again), "what is written can be read: " + text);
  require(again.seconds == std::floor(instant.seconds + 1e-6), "the same second: " + text);
  require(again.zoned == instant.zoned && again.offset_min == instant.offset_min, "the same zone");
}

void check_dates(std::string_view cell) {
  Instant instant;
  for (const DateOrder order :
       {DateOrder::unknown, DateOrder::dmy, DateOrder::mdy, DateOrder::ymd}) {
    if (read_date_time(cell, order, instant)) check_instant(instant);
    std::string_view rest = cell;
    double date_s = 0.5;
    const bool known = take_date(rest, order, date_s);
    require(known || rest == cell, "nothing is taken on failure");
    require(cell.ends_with(rest), "a date stands in front");
    if (known) require(std::fmod(date_s, k_day_s) == 0.0, "a date is whole days");
  }
  if (read_compact(cell, instant)) check_instant(instant);
}

/// The fast road, the slow one and the standard library agree.
void check_number(std::string_view cell) {
  for (const NumberStyle& style :
       {NumberStyle{}, NumberStyle{true, true, false, false}, NumberStyle{true, false, false, true},
        NumberStyle{false, true, true, false}}) {
    const auto number = number_in(cell, style);
    require(!number || std::isfinite(*number), "a number is finite");
    require(!number || !is_missing_mark(cell), "a number is not a mark of a missing one");
  }
  const std::string padded = std::string(cell) + std::string(k_cell_padding, '9');
  double fast = 0.0;
  if (!read_plain_decimal(std::string_view(padded).substr(0, cell.size()), fast)) return;
  double exact = 0.0;
  const auto [end, code] = std::from_chars(cell.data(), cell.data() + cell.size(), exact);
  require(code == std::errc() && end == cell.data() + cell.size(), "a plain number is a number");
  require(fast == exact, "the fast number is exact");
  const auto slow = number_in(cell, {});
  require(slow && *slow == exact, "the slow number is exact");
}

void check_cell(std::string_view cell) {
  check_span(read_clock_time, cell, 0.0, k_day_s + 1.0);
  check_span(read_span, cell, -1e11, 1e11);
  check_span(read_minutes, cell, -1e8, 1e8);
  check_span(read_duration, cell, 0.0, 1e15);
  check_dates(cell);
  check_number(cell);
}

} // namespace

void run_time(std::string_view bytes) {
  std::string log = "time;coolant [degC]\n";
  for (std::string_view rest = bytes; !rest.empty();) {
    const std::string_view cell = rest.substr(0, rest.find('\n'));
    rest.remove_prefix(std::min(rest.size(), cell.size() + 1));
    check_cell(cell);
    (log += cell) += ";85.5\n";
  }
  const auto whole = import_text(log, "log");
  check_result(whole, most_lines(log));
}

} // namespace coolband::testing
