// SPDX-License-Identifier: Apache-2.0
// What is missing in one row or two may be a row that came too soon.
#include "segment/lone_gaps.hpp"

#include <algorithm>

namespace coolband {

namespace {

constexpr std::size_t k_least_rows = 3;
/// A reading that is polled seldom is missing in between: from this share of the rows on.
constexpr double k_most_missing = 0.2;
/// A logger that skips skips other columns, too: from this share of the gaps on.
constexpr double k_as_others = 1.0 / 3.0;

} // namespace

void LoneGaps::add(std::size_t row, double time_s, bool reading, bool beside) {
  ++rows_;
  missing_rows_ += reading ? 0 : 1;
  other_rows_ += reading && !beside ? 1 : 0;
  if (reading || !beside) {
    run_rows_ = 0;
    return;
  }
  ++lone_rows_;
  if (run_rows_++ == 0) {
    run_row_ = row;
    run_from_s_ = time_s;
  }
  if (run_rows_ == k_least_rows && gaps_.times++ == 0) gaps_.first_row = run_row_;
  if (run_rows_ >= k_least_rows) gaps_.longest_s = std::max(gaps_.longest_s, time_s - run_from_s_);
}

std::optional<MissingReading> LoneGaps::found() const {
  if (gaps_.times == 0) return std::nullopt;
  if (static_cast<double>(missing_rows_) > k_most_missing * static_cast<double>(rows_))
    return std::nullopt;
  if (static_cast<double>(other_rows_) >= k_as_others * static_cast<double>(lone_rows_))
    return std::nullopt;
  return gaps_;
}

} // namespace coolband
