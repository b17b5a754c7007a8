// SPDX-License-Identifier: Apache-2.0
// Dates by the standard library's calendar, so that no table of months lives here.
#include "coolband/core/timestamp.hpp"

#include <chrono>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr long k_day_s = 86400;

std::string clock_text(long second_of_day) {
  return fmt::format("{:02}:{:02}:{:02}", second_of_day / 3600, second_of_day / 60 % 60,
                     second_of_day % 60);
}

std::string date_text(long seconds) {
  const long days = seconds >= 0 ? seconds / k_day_s : -((-seconds + k_day_s - 1) / k_day_s);
  const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::days{days}}};
  return fmt::format("{:04}-{:02}-{:02}T{}", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                     clock_text(seconds - days * k_day_s));
}

std::string offset_text(int minutes) {
  if (minutes == 0) return "Z";
  const int size = std::abs(minutes);
  return fmt::format("{}{:02}:{:02}", minutes < 0 ? '-' : '+', size / 60, size % 60);
}

} // namespace

std::string format_instant(const Clock& clock, double seconds) {
  // A hair is added so that 59.9999999 from binary fractions is not cut to the second before.
  const auto whole = static_cast<long>(std::floor(clock.start_s + seconds + 1e-6));
  switch (clock.kind) {
  case ClockKind::elapsed: return {};
  case ClockKind::clock_of_day: return clock_text(((whole % k_day_s) + k_day_s) % k_day_s);
  case ClockKind::date_time: return date_text(whole);
  case ClockKind::absolute:
    return date_text(whole + clock.offset_min * 60L) + offset_text(clock.offset_min);
  }
  return {};
}

std::optional<long> days_from_date(int year, int month, int day) {
  if (month < 1 || month > 12 || day < 1 || day > 31 || year < 1 || year > 9999)
    return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year{year},
                                         std::chrono::month{static_cast<unsigned>(month)},
                                         std::chrono::day{static_cast<unsigned>(day)}};
  if (!date.ok()) return std::nullopt;
  return std::chrono::sys_days{date}.time_since_epoch().count();
}

std::string format_duration(double seconds) {
  const auto whole = static_cast<long>(std::lround(seconds));
  if (whole < 120) return fmt::format("{} s", whole);
  if (whole < 600 && whole % 60 != 0) return fmt::format("{} min {:02} s", whole / 60, whole % 60);
  const long minutes = (whole + 30) / 60;
  if (minutes < 120) return fmt::format("{} min", minutes);
  return fmt::format("{} h {:02} min", minutes / 60, minutes % 60);
}

} // namespace coolband
