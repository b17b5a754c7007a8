// SPDX-License-Identifier: Apache-2.0
// Calendar dates as logs write them.
#pragma once

#include <optional>
#include <string_view>

namespace coolband {

/// How a date without a four-digit year in front is meant: day, month, year or another way round.
enum class DateOrder { unknown, dmy, mdy, ymd };

/// The fields of a date as they stand, left to right.
struct DateFields {
  int first = 0;
  int second = 0;
  int third = 0;
  bool year_first = false;  ///< a year of four digits stands in front
  bool month_named = false; ///< then `second` is the month, whatever the order in the text
  bool short_year = false;  ///< no field has four digits
  char mark = 0;            ///< '-', '/', '.' or ' '; 0 for none, as in "04Mar2024"
};

/// Takes a date off the front of `text`: "2024-03-04", "4/3/24", "04.03.2024", "20240304",
/// "4 March 2024", "March 4, 2024", "4. Mär. 2024", "4 de marzo de 2024", an English weekday before
/// it, and the ordinal and week dates of ISO 8601 ("2024-064", "2024-W10-1") turned into the
/// calendar date they mean. Nothing is taken on failure.
bool take_date_fields(std::string_view& text, DateFields& fields);

/// Days since 1970-01-01. Two-digit years are 2000 to 2099. Nothing when there is no such date, or
/// when `order` is unknown and matters: only points say "day first" by themselves.
std::optional<long> days_of(const DateFields& fields, DateOrder order);

/// A date alone, in seconds since 1970-01-01, taken off `text`.
bool take_date(std::string_view& text, DateOrder order, double& seconds);

} // namespace coolband
