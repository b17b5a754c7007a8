// SPDX-License-Identifier: Apache-2.0
// What each cause needs of a log (common practice, no source), against what the log has.
#include "report/log_scope.hpp"

#include "report/reading_words.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr double k_least_warm_s = 300.0; ///< as JudgeOptions::least_judged_s
constexpr double k_least_swings_s = 600.0;
constexpr double k_least_idle_s = 120.0;
constexpr double k_least_load_s = 300.0;
constexpr float k_sustained_pct = 60.0F;
constexpr float k_standing_kmh = 5.0F;
/// Colder than this a monitor of thermostats may rest (13 CCR 1968.2 (e)(10); from memory).
constexpr float k_too_cold_c = -7.0F;
constexpr double k_slow_s = 5.0;

/// What the trips of a log hold between them.
struct Content {
  std::size_t rows = 0;
  std::size_t usable_rows = 0;
  double warm_s = 0.0;
  double warm_idle_s = 0.0;
  double loaded_s = 0.0;
  std::size_t cold_starts = 0;
  std::size_t mild_cold_starts = 0; ///< with an outside temperature that is not too cold
  bool ambient = false;
  bool load = false;
  bool speed = false;
  bool rpm = false;
  bool altitude = false;
  bool air_at_start = false; ///< a cold start that could be compared with the air
  bool boiling_known = false;
  bool boiling_assumed = false; ///< mix, cap or altitude were assumed
  bool profile_lacks = false;   ///< mix or cap were
  double period_s = 0.0;        ///< of the slowest trip: between two coolant values
};

double length_s(const Blocks& blocks, std::size_t i) {
  // A block lasts until the next begins, unless a hole lies between.
  const double own_s = blocks.end_s[i] - blocks.start_s[i];
  if (i + 1 == blocks.size()) return own_s;
  return std::min(blocks.start_s[i + 1] - blocks.start_s[i], own_s + 30.0);
}

bool any(const std::vector<float>& column) {
  return std::any_of(column.begin(), column.end(), [](float value) { return !std::isnan(value); });
}

void add_blocks(Content& content, const Blocks& blocks) {
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (blocks.phase[i] != Phase::warm || std::isnan(blocks.coolant[i])) continue;
    const bool idle = blocks.speed[i] < k_standing_kmh; // false for NaN
    const bool loaded = blocks.load_lagged[i] >= k_sustained_pct;
    content.warm_idle_s += idle ? length_s(blocks, i) : 0.0;
    content.loaded_s += loaded ? length_s(blocks, i) : 0.0;
  }
  content.ambient = content.ambient || any(blocks.ambient);
  content.load = content.load || any(blocks.load);
  content.speed = content.speed || any(blocks.speed);
  content.rpm = content.rpm || any(blocks.rpm);
  content.altitude = content.altitude || any(blocks.altitude);
}

bool says(const std::vector<std::string>& list, std::string_view words) {
  return std::any_of(list.begin(), list.end(),
                     [&](const auto& line) { return line.find(words) != std::string::npos; });
}

bool mild_at(const Blocks& blocks, double time_s) {
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (blocks.end_s[i] >= time_s && !std::isnan(blocks.ambient[i]))
      return blocks.ambient[i] > k_too_cold_c;
  }
  return false;
}

/// Time between two coolant values, as far as it is known for sure.
double coolant_period_s(const Trip& trip) {
  for (const Refresh& refresh : trip.sanity.refresh) {
    if (refresh.role == Role::coolant && !refresh.at_most)
      return std::max(refresh.period_s, trip.sample_period_s);
  }
  return trip.sample_period_s;
}

void add_trip(Content& content, const TripFinding& finding) {
  const Trip& trip = finding.trip;
  content.rows += trip.last_row - trip.first_row + 1;
  content.usable_rows += trip.usable_rows;
  content.warm_s += finding.judgement.judged_s;
  for (const WarmUp& warm_up : trip.warm_ups) {
    ++content.cold_starts;
    content.mild_cold_starts += mild_at(trip.blocks, warm_up.start_s) ? 1U : 0U;
  }
  const auto& soak = trip.sanity.cold_soak;
  content.air_at_start |= soak && soak->outcome != ColdSoak::Outcome::unclear;
  const Boiling& boiling = finding.judgement.boiling;
  content.boiling_known |= boiling.margin_c.has_value();
  content.boiling_assumed |= says(boiling.assumptions, "unknown");
  content.profile_lacks |= says(boiling.assumptions, "mix unknown");
  content.profile_lacks |= says(boiling.assumptions, "pressure unknown");
  content.period_s = std::max(content.period_s, coolant_period_s(trip));
  add_blocks(content, trip.blocks);
}

std::vector<std::string> can_judge(const Content& c) {
  std::vector<std::string> list;
  if (c.usable_rows > 0)
    list.emplace_back("a loose or broken sensor circuit: dropouts, jumps and codes show");
  if (c.air_at_start)
    list.emplace_back("a sensor that is off when cold: the start is compared with the air");
  if (c.warm_s >= k_least_warm_s)
    list.push_back(fmt::format("an engine that runs too hot or too cold: {} of warm running",
                               format_duration(c.warm_s)));
  if (c.mild_cold_starts > 0)
    list.push_back(fmt::format("a thermostat that hangs open: {} cold start{} with the outside "
                               "temperature",
                               c.mild_cold_starts, c.mild_cold_starts == 1 ? "" : "s"));
  if (c.warm_s >= k_least_swings_s && c.period_s <= k_slow_s)
    list.push_back(fmt::format("a thermostat that sticks: its swings show in a reading every {}",
                               seconds_words(c.period_s)));
  if (c.warm_idle_s >= k_least_idle_s)
    list.push_back(fmt::format("a fan that does not cool: {} of standing with a warm engine",
                               format_duration(c.warm_idle_s)));
  if (c.loaded_s >= k_least_load_s)
    list.push_back(fmt::format("a restricted radiator: {} at {:.0f} % load or more",
                               format_duration(c.loaded_s), k_sustained_pct));
  if (c.boiling_known)
    list.emplace_back(c.boiling_assumed ? "the distance to boiling, under the assumptions named"
                                        : "the distance to boiling");
  return list;
}

/// Limits that all trips share: what one trip shows, the log can show.
std::vector<std::string> shared_limits(const std::vector<TripFinding>& findings) {
  std::vector<std::string> shared;
  for (const std::string& limit : findings.front().judgement.limits) {
    const bool everywhere = std::all_of(findings.begin(), findings.end(), [&](const auto& f) {
      return std::find(f.judgement.limits.begin(), f.judgement.limits.end(), limit) !=
             f.judgement.limits.end();
    });
    if (everywhere && std::find(shared.begin(), shared.end(), limit) == shared.end())
      shared.push_back(limit);
  }
  return shared;
}

/// What the limits of a judgement do not say.
void add_to_limits(std::vector<std::string>& list, const Content& c) {
  if (c.usable_rows == 0) {
    list.insert(list.begin(), "not one believable coolant reading: nothing can be judged");
    return;
  }
  if (c.warm_s < k_least_warm_s)
    list.emplace_back("less than 5 min of warm running: its level cannot be judged");
  if (c.speed && c.warm_idle_s < k_least_idle_s && !says(list, "the fan cannot be judged"))
    list.emplace_back("no two minutes of standing with a warm engine: the fan cannot be judged");
  if (!c.load)
    list.emplace_back("without engine load a restricted radiator cannot be judged");
  else if (c.loaded_s < k_least_load_s)
    list.push_back(fmt::format("no five minutes at {:.0f} % load or more: a restricted radiator "
                               "cannot be judged",
                               k_sustained_pct));
  if (c.cold_starts > 0 && c.ambient && c.mild_cold_starts == 0)
    list.emplace_back("cold starts below -7 °C only: a sound engine may warm up slowly there");
  list.emplace_back("a thermostat that hangs shut, a weak pump and lost coolant draw one curve: "
                    "only a check on the vehicle tells them apart");
}

std::string missing_columns(const Content& c) {
  struct Wanted {
    bool there;
    const char* name;
  };
  std::string names;
  for (const Wanted& wanted : {Wanted{c.ambient, "outside temperature"},
                               Wanted{c.load, "engine load"}, Wanted{c.rpm, "engine speed"},
                               Wanted{c.speed, "road speed"}, Wanted{c.altitude, "altitude"}}) {
    if (!wanted.there) names += std::string(names.empty() ? "" : ", ") + wanted.name;
  }
  return names;
}

std::vector<std::string> log_next(const Content& c) {
  std::vector<std::string> list;
  if (2 * c.usable_rows < c.rows)
    list.emplace_back("first of all a coolant reading that can be believed: check the column that "
                      "was taken, the sensor and its wiring");
  if (const std::string names = missing_columns(c); !names.empty())
    list.push_back("more columns: " + names);
  if (c.period_s > k_slow_s)
    list.push_back(
        fmt::format("the coolant every 1 to 2 s (here: every {})", seconds_words(c.period_s)));
  if (c.cold_starts == 0 || (c.ambient && c.mild_cold_starts == 0))
    list.emplace_back("a cold start: begin before the engine is started after a night, above "
                      "-7 °C outside");
  if (c.warm_s < k_least_swings_s)
    list.emplace_back("at least 15 minutes of driving with a warm engine");
  if (c.warm_idle_s < k_least_idle_s)
    list.emplace_back("five minutes of idling, standing, with a warm engine");
  if (c.loaded_s < k_least_load_s)
    list.emplace_back("ten minutes under sustained load: a long climb or a fast road");
  if (c.profile_lacks)
    list.emplace_back("and give coolant mix and cap pressure in a profile (--profile)");
  return list;
}

} // namespace

LogScope scope_of(const std::vector<TripFinding>& findings) {
  if (findings.empty()) return {};
  Content content;
  for (const TripFinding& finding : findings) add_trip(content, finding);
  LogScope scope{can_judge(content), shared_limits(findings), log_next(content)};
  add_to_limits(scope.cannot_judge, content);
  return scope;
}

} // namespace coolband
