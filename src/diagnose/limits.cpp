// SPDX-License-Identifier: Apache-2.0
// What this log could not show: the honest half of a report.
#include "diagnose/explain.hpp"
#include "diagnose/logged.hpp"
#include "diagnose/verdict.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

void add_missing_columns(std::vector<std::string>& limits, const Trip& trip) {
  const Blocks& blocks = trip.blocks;
  const bool load = logged(blocks.load);
  const bool speed = logged(blocks.speed);
  if (!load)
    limits.emplace_back("no engine load: a hard climb cannot be told from a thermostat that hangs "
                        "shut by the log alone");
  if (!logged(blocks.ambient))
    limits.emplace_back(
        "no outside temperature: cold or hot weather cannot be ruled out by the log alone");
  if (!speed)
    limits.emplace_back(
        "no road speed: heat when standing (fan) cannot be told from heat at any speed");
  if (!logged(blocks.rpm))
    limits.emplace_back("no engine speed: stops with the engine off cannot be seen");
}

/// What of the warm-ups is told, but not judged.
void add_unjudged_warm_up(std::vector<std::string>& limits, const Trip& trip,
                          const JudgedWarmUp& judged) {
  const bool opening_told =
      std::any_of(trip.warm_ups.begin(), trip.warm_ups.end(),
                  [](const WarmUp& warm_up) { return warm_up.opened_c.has_value(); });
  const bool opening_left = opening_told && !judged.opening;
  if (!judged.time && opening_left) {
    limits.emplace_back("the time that the warm-up took and where the thermostat opened are told, "
                        "but were not judged");
  } else if (!judged.time) {
    limits.emplace_back("the time that the warm-up took is told, but was not judged");
  } else if (opening_left) {
    limits.emplace_back("where the thermostat opened is told, but was not judged");
  }
}

void add_missing_situations(std::vector<std::string>& limits, const Trip& trip,
                            const JudgedWarmUp& judged) {
  if (trip.warm_ups.empty())
    limits.emplace_back(
        "no cold start in the log: opening and closing of the thermostat were not seen");
  if (!trip.warm_ups.empty()) add_unjudged_warm_up(limits, trip, judged);
  const auto idle = idle_share(trip.blocks, 0.0, trip.duration_s);
  if (idle && *idle * trip.duration_s < 120.0)
    limits.emplace_back("no two minutes of idling in the log: the fan cannot be judged");
  if (trip.sample_period_s > 5.0)
    limits.push_back(
        fmt::format("one reading every {:.0f} s: short swings and dropouts can be missed",
                    trip.sample_period_s));
  if (trip.longest_gap_s > 120.0)
    limits.push_back(fmt::format("the longest hole in the log is {}: nothing is known of it",
                                 format_duration(trip.longest_gap_s)));
}

/// A little of every drive lies beyond the middle 90 % of others; more than that is worth saying.
constexpr double k_least_beyond_s = 60.0;
constexpr double k_share_beyond = 0.10;

} // namespace

std::vector<std::string> limits_of(const Trip& trip, const NormalBand* band,
                                   const Judgement& judgement, const JudgedWarmUp& judged) {
  std::vector<std::string> limits;
  if (judgement.beyond_seen_s >= std::max(k_least_beyond_s, k_share_beyond * judgement.judged_s)) {
    limits.push_back(fmt::format("{} of the warm running were under load, weather or speed that "
                                 "the learned drives have not seen: the band is wider there",
                                 format_duration(judgement.beyond_seen_s)));
  }
  if (band != nullptr && band->origin != BandOrigin::learned)
    limits.insert(limits.end(), band->notes.begin(), band->notes.end());
  if (band != nullptr && band->origin == BandOrigin::learned) {
    for (const std::string& note : band->notes) limits.push_back("band: " + note);
  }
  add_missing_columns(limits, trip);
  add_missing_situations(limits, trip, judged);
  limits.insert(limits.end(), judgement.boiling.assumptions.begin(),
                judgement.boiling.assumptions.end());
  limits.emplace_back("a sensor circuit with added resistance reads like a thermostat that hangs "
                      "open: temperature alone cannot tell");
  return limits;
}

} // namespace coolband
