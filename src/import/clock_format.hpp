// SPDX-License-Identifier: Apache-2.0
// How the time column of a log is written, decided from a sample, and the reader of its cells.
#pragma once

#include "coolband/core/result.hpp"
#include "coolband/core/timestamp.hpp"
#include "import/clock_text.hpp"
#include "import/columns.hpp"

#include <string>
#include <string_view>

namespace coolband {

enum class TimeText { number, date_time, compact, clock, minutes };

struct ClockFormat {
  TimeText text = TimeText::number;
  ClockKind kind = ClockKind::elapsed;
  DateOrder order = DateOrder::unknown;
  bool joined = false;   ///< a date in another column goes before the clock time
  bool zoned = false;    ///< every time has a zone
  double scale = 1.0;    ///< of numbers: to seconds
  double offset_s = 0.0; ///< of numbers: added after scaling
  double wrap_s = 0.0;   ///< the clock starts again after this long; 0: never
  std::string unit;      ///< of numbers, as `name` of a unit
  std::string unit_origin;
  std::string words; ///< for `HowRead::clock`
  std::string note;  ///< an assumption, or empty
};

/// Errors (kind input): no cell of the sample can be read as a time, or the order of day and month
/// cannot be told.
Result<ClockFormat> find_clock_format(const TableHead& head, const ColumnPlan& plan);

/// Seconds on the log's own clock, not yet relative. `date` is empty unless `joined`.
bool read_time(const ClockFormat& format, const NumberStyle& numbers, std::string_view cell,
               std::string_view date, Instant& instant);

} // namespace coolband
