// SPDX-License-Identifier: Apache-2.0
// As a clock the steps are even; as a number each new minute is a leap by 40.
#include "import/clock_digits.hpp"

#include "import/clock_units.hpp"
#include "import/heading.hpp"
#include "import/number_text.hpp"
#include "import/text_fields.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

constexpr std::size_t k_least_cells = 3;

bool has_unit(const TableHead& head, const ColumnPlan& plan) {
  const ColumnUse& use = *plan.of(Role::time);
  return use.unit || unit_for(Role::time, head.heading_of(use.index));
}

/// "085500", "085500.00"
bool is_padded(std::string_view cell) {
  cell = trimmed(cell);
  const auto digits = std::find_if_not(cell.begin(), cell.end(), is_decimal_digit) - cell.begin();
  return digits == 6 && cell[0] == '0';
}

struct DigitSteps {
  std::vector<double> within_s; ///< steps within a minute
  std::vector<double> across_s; ///< steps into another one
  bool padded = false;
  double latest_s = 0.0;
};

/// Nothing where more than one cell in twenty is no time of day.
std::optional<DigitSteps> steps_of(const ClockSample& cells) {
  DigitSteps steps;
  double before_s = std::nan("");
  std::size_t strangers = 0;
  for (const std::string_view cell : cells.time) {
    double now_s = 0.0;
    if (!read_clock_digits(cell, now_s)) {
      ++strangers;
      continue;
    }
    steps.latest_s = std::max(steps.latest_s, now_s);
    steps.padded |= is_padded(cell);
    const double step_s = std::remainder(now_s - before_s, k_day_s);
    const bool same_minute = std::floor(now_s / 60.0) == std::floor(before_s / 60.0);
    if (step_s != 0.0 && !std::isnan(step_s))
      (same_minute ? steps.within_s : steps.across_s).push_back(std::abs(step_s));
    before_s = now_s;
  }
  if (20 * strangers > cells.time.size()) return std::nullopt;
  return steps;
}

bool are_even(const DigitSteps& steps) {
  if (steps.within_s.empty()) return false;
  if (steps.across_s.empty()) return steps.padded;
  // Right behind 0 one hole in a count of seconds may look like a minute.
  if (steps.across_s.size() < 2 && !steps.padded && steps.latest_s < k_hour_s) return false;
  const double usual_s = middle_of(steps.within_s);
  const auto even = std::count_if(steps.across_s.begin(), steps.across_s.end(), [&](double step_s) {
    return step_s >= 0.5 * usual_s && step_s <= 2.0 * usual_s;
  });
  return 2 * even > static_cast<std::ptrdiff_t>(steps.across_s.size());
}

} // namespace

void settle_digits(ClockFormat& format, const TableHead& head, const ColumnPlan& plan,
                   const ClockSample& cells) {
  const auto stated = stated_forms(head, plan, plan.of(Role::time)->index);
  if (!stated.empty()) {
    if (stated.front().digits) format.text = TimeText::digits;
    return;
  }
  if (has_unit(head, plan) || cells.time.size() < k_least_cells) return;
  const auto steps = steps_of(cells);
  if (!steps || !are_even(*steps)) return;
  format.text = TimeText::digits;
  format.notes.emplace_back("time has no unit: its digits are read as hours, minutes and seconds "
                            "(hhmmss), as each minute ends at 59");
}

} // namespace coolband
