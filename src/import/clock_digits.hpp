// SPDX-License-Identifier: Apache-2.0
// Numbers that are clock times without marks: "142530" is 14:25:30.
#pragma once

#include "import/clock_format.hpp"
#include "import/clock_sample.hpp"

namespace coolband {

/// Turns a format of numbers into one of digits where a form says so ("hhmmss") or, without any
/// unit, the sample does: every number is a time of day, and each new minute follows the one before
/// it as the seconds within follow each other, which a count of seconds never does. Zeros in front
/// ("085500") serve where no new minute begins.
void settle_digits(ClockFormat& format, const TableHead& head, const ColumnPlan& plan,
                   const ClockSample& cells);

} // namespace coolband
