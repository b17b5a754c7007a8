// SPDX-License-Identifier: Apache-2.0
// The cells of the sample that the clock is told from.
#pragma once

#include "import/columns.hpp"
#include "import/time_form.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// One entry for each sampled row that has a time; `date` is empty where no date column is.
struct ClockSample {
  std::vector<std::string_view> time;
  std::vector<std::string_view> date;
};

ClockSample clock_sample(const TableHead& head, const ColumnPlan& plan);

/// The middle value (the upper of two), or 0 of none.
double middle_of(std::vector<double> values);

/// What the user, the heading and the row of units say of how the times of a column are written:
/// the first counts most.
std::vector<TimeForm> stated_forms(const TableHead& head, const ColumnPlan& plan,
                                   std::size_t column);

/// The heading of the time column in quotes, else its number: what --column takes.
std::string time_heading(const TableHead& head, const ColumnPlan& plan);

} // namespace coolband
