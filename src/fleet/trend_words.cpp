// SPDX-License-Identifier: Apache-2.0
// Short sentences: what moved, by how much, since when; what that usually is; what to do.
#include "fleet/trend_words.hpp"

#include "core/portable_math.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

bool has(const std::vector<Measure>& measures, Measure measure) {
  return std::find(measures.begin(), measures.end(), measure) != measures.end();
}

const MeasureTrend& told(const VehicleTrend& trend, Measure measure) {
  return trend.measures.at(static_cast<std::size_t>(measure));
}

/// Logarithms: a change is a factor.
bool is_ratio(Measure measure) { return measure == Measure::spread || measure == Measure::warm_up; }

std::string_view verb(const MeasureTrend& trend) {
  const bool up = trend.change > 0.0;
  switch (trend.measure) {
  case Measure::spread: return up ? "has grown" : "has shrunk";
  case Measure::warm_up: return up ? "takes longer" : "takes less long";
  default: return up ? "has crept up" : "has crept down";
  }
}

std::string amount(const MeasureTrend& trend) {
  if (!is_ratio(trend.measure))
    return fmt::format("{:.1f} K (±{:.1f})", std::abs(trend.change), trend.change_error);
  return fmt::format("{:+.0f} % (±{:.0f})", 100.0 * portable_expm1(trend.change),
                     100.0 * trend.change_error);
}

std::string number_of(std::size_t count, std::string_view noun) {
  return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

std::string period(const MeasureTrend& trend) {
  const std::string trips = number_of(trend.trips_since, "trip");
  if (!trend.days) return fmt::format("over {}", trips);
  const auto days = static_cast<std::size_t>(std::max(1.0, std::round(*trend.days)));
  return fmt::format("over {} ({}), since {}", number_of(days, "day"), trips,
                     trend.since.substr(0, 10));
}

/// Believed, and up (down).
bool rises(const VehicleTrend& trend, const std::vector<Measure>& measures, Measure measure) {
  return has(measures, measure) && told(trend, measure).change > 0.0;
}
bool falls(const VehicleTrend& trend, const std::vector<Measure>& measures, Measure measure) {
  return has(measures, measure) && told(trend, measure).change < 0.0;
}

bool more_at_load(const VehicleTrend& trend) {
  constexpr double k_clearly_k = 0.5;
  const MeasureTrend& level = told(trend, Measure::level);
  const double everywhere = level.lacks.empty() ? level.change : 0.0;
  return told(trend, Measure::level_at_load).change > everywhere + k_clearly_k;
}

} // namespace

std::string_view unit_of(Measure measure) {
  switch (measure) {
  case Measure::spread: return "ln K";
  case Measure::warm_up: return "ln min";
  default: return "°C";
  }
}

std::string_view subject_of(Measure measure) {
  constexpr std::array<std::string_view, k_measures> k_subjects{"the level",
                                                                "the level at load",
                                                                "the spread of the readings",
                                                                "the thermostat's first opening",
                                                                "the warm-up",
                                                                "the hottest idle"};
  return k_subjects.at(static_cast<std::size_t>(measure));
}

TrendPattern pattern_of(const VehicleTrend& trend, const std::vector<Measure>& measures) {
  if (measures.empty()) return TrendPattern::none;
  const auto up = [&](Measure measure) { return rises(trend, measures, measure); };
  const auto down = [&](Measure measure) { return falls(trend, measures, measure); };
  if (down(Measure::level) || down(Measure::level_at_load) || up(Measure::warm_up))
    return TrendPattern::runs_colder;
  if (up(Measure::opening)) return TrendPattern::opens_later;
  if (up(Measure::level_at_load) && more_at_load(trend)) return TrendPattern::cooling_weaker;
  if (up(Measure::level) || up(Measure::level_at_load)) return TrendPattern::runs_warmer;
  if (up(Measure::hottest_idle)) return TrendPattern::fan_weaker;
  if (up(Measure::spread)) return TrendPattern::regulates_looser;
  return TrendPattern::steadier;
}

std::string words_of(const MeasureTrend& trend) {
  return fmt::format("{} {} {} {}", subject_of(trend.measure), verb(trend), amount(trend),
                     period(trend));
}

std::string words_of(TrendPattern pattern) {
  switch (pattern) {
  case TrendPattern::none: return {};
  case TrendPattern::cooling_weaker:
    return "usual for a radiator that slowly blocks, or coolant that flows less: wash the fins, "
           "then feel the cold core for cool patches and look at the flow, the hoses and the belt";
  case TrendPattern::fan_weaker:
    return "usual for a fan that cools less when standing: watch whether and when it comes in, "
           "and look at its clutch, fuse and relay";
  case TrendPattern::opens_later:
    return "usual for a thermostat whose wax ages and opens later: test it in heated water beside "
           "a thermometer, or renew it";
  case TrendPattern::regulates_looser:
    return "usual for a thermostat that gets lazier, or for air in the coolant: check the level "
           "when cold, bleed, then test the thermostat in heated water";
  case TrendPattern::runs_colder:
    return "usual for a thermostat that no longer shuts, or a fan that never lets go: feel whether "
           "the lower hose stays cold while it warms up, and look at the fan";
  case TrendPattern::runs_warmer:
    return "usual for a thermostat that opens later or a radiator that slowly blocks: wash the "
           "fins, check the level when cold, then test the thermostat in heated water";
  case TrendPattern::steadier:
    return "no fault does that by itself: look for a changed sensor, route or way of driving";
  }
  return {};
}

std::vector<std::string> trend_words(const VehicleTrend& trend,
                                     const std::vector<Measure>& measures) {
  std::vector<std::string> words;
  words.reserve(measures.size() + 1);
  for (const Measure measure : measures) words.push_back(words_of(told(trend, measure)));
  if (!words.empty()) words.push_back(words_of(pattern_of(trend, measures)));
  return words;
}

std::string lack_words(const VehicleTrend& trend) {
  const bool any = std::any_of(trend.measures.begin(), trend.measures.end(),
                               [](const MeasureTrend& measure) { return measure.lacks.empty(); });
  if (any) return {};
  std::string words =
      fmt::format("{} that count{}; a trend needs {}", number_of(trend.trips, "trip"),
                  trend.before > 0 ? " since the latest service" : "", k_least_trend_trips);
  return words;
}

} // namespace coolband
