// SPDX-License-Identifier: Apache-2.0
// Reads what `format_instant` writes, and plain days.
#include "fleet/trend_days.hpp"

#include "coolband/core/timestamp.hpp"

#include <charconv>
#include <cstddef>

namespace coolband {

namespace {

/// The digits at a place; none where there is anything else.
std::optional<int> digits(std::string_view text, std::size_t at, std::size_t count) {
  if (text.size() < at + count) return std::nullopt;
  int value = 0;
  const char* const end = text.data() + at + count;
  const auto [stop, error] = std::from_chars(text.data() + at, end, value);
  if (error != std::errc() || stop != end || value < 0) return std::nullopt;
  return value;
}

std::optional<double> day_of_date(std::string_view text) {
  const auto year = digits(text, 0, 4);
  const auto month = digits(text, 5, 2);
  const auto day = digits(text, 8, 2);
  if (!year || !month || !day || text[4] != '-' || text[7] != '-') return std::nullopt;
  const auto days = days_from_date(*year, *month, *day);
  if (!days) return std::nullopt;
  return static_cast<double>(*days);
}

double minutes(int hour, int minute) { return 60.0 * hour + minute; }

/// Minutes that a zone's clock is ahead.
double ahead_min(std::string_view zone) {
  const auto hour = digits(zone, 1, 2);
  const auto minute = digits(zone, 4, 2);
  if (!hour || !minute) return 0.0;
  return (zone[0] == '-' ? -1.0 : 1.0) * minutes(*hour, *minute);
}

} // namespace

std::optional<double> days_of(std::string_view instant) {
  constexpr double k_day_min = 1440.0;
  const auto day = day_of_date(instant);
  if (!day || instant.size() == 10) return day;
  const auto hour = digits(instant, 11, 2);
  const auto minute = digits(instant, 14, 2);
  const auto second = digits(instant, 17, 2);
  if (!hour || !minute || !second) return std::nullopt;
  const double time_min = minutes(*hour, *minute) + *second / 60.0 - ahead_min(instant.substr(19));
  return *day + time_min / k_day_min;
}

} // namespace coolband
