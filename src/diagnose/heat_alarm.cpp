// SPDX-License-Identifier: Apache-2.0
// Medians against single wrong readings, and a straight line ahead.
#include "diagnose/heat_alarm.hpp"

#include "circuit/usual_coolant.hpp"
#include "coolband/numeric/order_statistics.hpp"

#include <algorithm>
#include <cstddef>
#include <utility>
#include <vector>

namespace coolband {

namespace {

constexpr double k_now_s = 10.0;
constexpr std::size_t k_least_readings = 3;
constexpr double k_rate_over_s = 60.0;
constexpr double k_alarm_spent = 0.75;
constexpr double k_half_spent = 0.5;
constexpr double k_nearly_spent = 0.9;
constexpr double k_ahead_s = 120.0;

/// Median of the readings of the last 10 s up to `recent`'s end, or of the last three.
double level_at_end(std::span<const CoolantReading> recent) {
  std::size_t count = std::min(k_least_readings, recent.size());
  const double end_s = recent.back().time_s;
  while (count < recent.size() && recent[recent.size() - count - 1].time_s > end_s - k_now_s)
    ++count;
  std::vector<double> values;
  for (const CoolantReading& reading : recent.last(count)) values.push_back(reading.coolant_c);
  return median(std::move(values));
}

/// Between what was read a minute ago and now.
std::optional<double> rate_of(std::span<const CoolantReading> recent, double now_c) {
  const double end_s = recent.back().time_s;
  std::size_t before = recent.size();
  while (before > 0 && recent[before - 1].time_s > end_s - k_rate_over_s) --before;
  if (before < k_least_readings) return std::nullopt;
  const auto then = recent.first(before);
  const double apart_s = end_s - then.back().time_s;
  // A hole in the log, not a minute.
  if (apart_s > 2.0 * k_rate_over_s) return std::nullopt;
  return (now_c - level_at_end(then)) / apart_s * 60.0;
}

} // namespace

std::optional<Heat> heat_of(std::span<const CoolantReading> recent, const HeatScale& scale) {
  const double margin_k = scale.boils_c - scale.level_c;
  if (recent.size() < k_least_readings || margin_k <= k_boiling_near_k) return std::nullopt;
  Heat heat;
  heat.coolant_c = level_at_end(recent);
  heat.rate_k_per_min = rate_of(recent, heat.coolant_c);
  heat.spent = (heat.coolant_c - scale.level_c) / margin_k;
  if (heat.rate_k_per_min.value_or(0.0) > 0.0)
    heat.boils_in_s = std::max(0.0, (scale.boils_c - heat.coolant_c) / *heat.rate_k_per_min * 60.0);
  return heat;
}

bool overheats(const Heat& heat) {
  if (heat.spent >= k_alarm_spent) return true;
  if (heat.spent < k_half_spent || !heat.boils_in_s) return false;
  const double left = 1.0 - heat.spent;
  const double nearly_in_s = *heat.boils_in_s * (k_nearly_spent - heat.spent) / left;
  return nearly_in_s <= k_ahead_s;
}

bool has_cooled(const Heat& heat) {
  return heat.spent < k_half_spent && heat.rate_k_per_min.value_or(0.0) <= 0.0;
}

} // namespace coolband
