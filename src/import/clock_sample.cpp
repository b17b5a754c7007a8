// SPDX-License-Identifier: Apache-2.0
// Looks into the head of the table; the views stay valid as long as the head does.
#include "import/clock_sample.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

ClockSample clock_sample(const TableHead& head, const ColumnPlan& plan) {
  ClockSample sample;
  const std::size_t column = plan.of(Role::time)->index;
  for (const auto& row : head.sample) {
    if (column >= row.size() || is_missing_mark(row[column])) continue;
    sample.time.emplace_back(row[column]);
    const bool dated = plan.date && *plan.date < row.size();
    sample.date.emplace_back(dated ? std::string_view(row[*plan.date]) : std::string_view());
  }
  return sample;
}

double middle_of(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

std::vector<TimeForm> stated_forms(const TableHead& head, const ColumnPlan& plan,
                                   std::size_t column) {
  const std::string heading = head.heading_of(column);
  const std::string unit = column < head.units.size() ? head.units[column] : std::string();
  std::vector<TimeForm> forms;
  for (const auto& form : {read_time_form(plan.time_form), time_form_of(heading),
                           read_time_form(heading), read_time_form(unit)}) {
    if (form) forms.push_back(*form);
  }
  return forms;
}

std::string time_heading(const TableHead& head, const ColumnPlan& plan) {
  const std::size_t time = plan.of(Role::time)->index;
  const std::string heading = head.heading_of(time);
  return heading.empty() ? std::to_string(time + 1) : fmt::format("\"{}\"", heading);
}

} // namespace coolband
