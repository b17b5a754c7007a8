// SPDX-License-Identifier: Apache-2.0
// How the time column of a log is written, decided from a sample, and the reader of its cells.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/core/timestamp.hpp"
#include "import/clock_text.hpp"
#include "import/columns.hpp"

#include <cmath>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// How a cell is written. `parts` is a clock time that may still be hours or minutes in front,
/// `digits` one without marks ("142530").
enum class TimeText { number, date_time, compact, parts, clock, digits, minutes, duration };

/// A reading beyond this many seconds (three thousand years) is no time.
inline constexpr double k_absurd_s = 1e11;

struct ClockFormat {
  TimeText text = TimeText::number;
  ClockKind kind = ClockKind::elapsed;
  DateOrder order = DateOrder::unknown;
  bool joined = false;         ///< a date in another column goes before the clock time
  bool zoned = false;          ///< every time has a zone
  bool newest_first = false;   ///< the rows run backwards in time
  double scale = 1.0;          ///< of numbers: to seconds
  double offset_s = 0.0;       ///< of numbers: added after scaling
  double period_s = 0.0;       ///< the middle step of the sample; 0 when no two times differ
  std::vector<double> wraps_s; ///< after these a clock of this kind starts again at 0
  std::string unit;            ///< of numbers, as `name` of a unit
  std::string unit_origin;
  std::string words;              ///< for `HowRead::clock`
  std::vector<std::string> notes; ///< assumptions
};

/// Errors (kind input): no cell of the sample can be read as a time, the order of day and month
/// cannot be told, or "12:34" could be minutes as well as hours.
Result<ClockFormat> find_clock_format(const TableHead& head, const ColumnPlan& plan);

/// Seconds on the log's own clock, not yet relative. `date` is empty unless `joined`.
bool read_time(const ClockFormat& format, const NumberStyle& numbers, std::string_view cell,
               std::string_view date, Instant& instant);

} // namespace coolband
