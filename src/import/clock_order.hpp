// SPDX-License-Identifier: Apache-2.0
// Whether day, month or year comes first in the dates of a log.
#pragma once

#include "coolband/core/result.hpp"
#include "import/clock_sample.hpp"
#include "import/date_text.hpp"

#include <string>

namespace coolband {

struct OrderFound {
  DateOrder order = DateOrder::unknown; ///< unknown: the dates need none, or there are none
  std::string note;                     ///< an assumption, or empty
};

/// What the user gave rules, then the form in the heading of `column`. Else an order must make a
/// date of every cell of the sample. Where more than one does, dates with points are day first, and
/// an order in which the date goes on to the next day around midnight beats one in which it leaps.
/// Errors (kind input): the order stays open; the hint names the choices left.
Result<OrderFound> find_date_order(const TableHead& head, const ColumnPlan& plan,
                                   std::size_t column);

} // namespace coolband
