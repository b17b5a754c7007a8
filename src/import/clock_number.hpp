// SPDX-License-Identifier: Apache-2.0
// What the numbers of a time column count: by the unit stated, else by their size and steps.
#pragma once

#include "import/clock_format.hpp"
#include "import/clock_sample.hpp"

namespace coolband {

/// Settles scale, kind, unit, words and notes of a format whose text is numbers. Without a unit (in
/// the heading, given, or the heading itself, as in "Minutes"):
/// - numbers of 1995 to 2103 in s, ms, µs or ns are Unix times;
/// - 30000 to 60000 in steps of seconds to minutes of a day are days as spreadsheets count them,
///   60000 to 80000 and about 2.46 million modified and plain Julian days, and 0 to 1 in such steps
///   are fractions of a day;
/// - 0 to 24 in steps below a thousandth are hours, also 0 to 1 from 0 in steps of more than 15 s
///   of a day;
/// - all others are s, ms, µs or ns so that the middle step lies below 100 s.
void settle_number(ClockFormat& format, const TableHead& head, const ColumnPlan& plan,
                   const ClockSample& sample);

} // namespace coolband
