// SPDX-License-Identifier: Apache-2.0
// Under what conditions a fault showed, and whether another drive met them.
#include "repair/situation.hpp"

#include "coolband/core/timestamp.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "diagnose/deviations.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/core.h>

namespace coolband {

namespace {

// Conditions that differ by less are alike, and nobody can drive them more exactly (common
// practice, no source).
constexpr double k_alike_load_pct = 15.0;
constexpr double k_alike_ambient_k = 5.0;
constexpr double k_alike_speed_kmh = 20.0;
/// Weather is told to the whole degree, and compared no more finely, K.
constexpr double k_told_k = 0.5;
/// Slower than this there is little wind through the radiator, as in the verdict.
constexpr double k_slow_kmh = 25.0;
/// So long a stretch shows a fault that is at work, however long it lasted before, s: the longest
/// that an episode needs to be one.
constexpr double k_telling_s = 300.0;
constexpr double k_least_stretch_s = 60.0;
/// A fault that came later than this came by chance or by the road; no drive is asked to be longer
/// for it, s.
constexpr double k_latest_begin_s = 1800.0;

/// A reading so many half widths off its band is plain to see (common practice, no source).
constexpr double k_plain_to_see = 2.5;

double half_width_of(const TripFinding& finding) {
  return finding.band ? finding.band->half_width_c : 0.0;
}

double weight_of(const Episode& episode) {
  return std::abs(episode.mean_deviation_c) * std::max(episode.logged_s, 1.0);
}

Direction side_of(Condition condition) {
  switch (condition) {
  case Condition::thermostat_stuck_open: return Direction::below;
  case Condition::sensor_fault:
  case Condition::air_or_low_coolant:
  case Condition::thermostat_sticking: return Direction::erratic;
  default: return Direction::above;
  }
}

/// Where no episode tells it.
Situation usual_situation(Condition fault, const Trip& trip) {
  Situation situation;
  situation.direction = side_of(fault);
  situation.length_s = running_s(trip);
  if (situation.direction == Direction::erratic) return situation;
  situation.ambient_c = usual_ambient_c(trip);
  if (fault == Condition::fan_not_cooling) situation.speed_kmh = 0.0;
  return situation;
}

template <class Counts>
const Episode* heaviest_of(const std::vector<Episode>& episodes, const Counts& counts) {
  const Episode* best = nullptr;
  for (const Episode& episode : episodes) {
    if (counts(episode) && (best == nullptr || weight_of(episode) > weight_of(*best)))
      best = &episode;
  }
  return best;
}

double needed_s(const Situation& situation) {
  return std::min(situation.begins_s, k_latest_begin_s) + std::min(situation.length_s, k_telling_s);
}

double stretch_s(const Situation& situation) {
  return std::clamp(situation.length_s, k_least_stretch_s, k_telling_s);
}

constexpr double k_infinity = std::numeric_limits<double>::infinity();

/// Limits that a block must keep, ±infinity where it need not.
struct Limits {
  Range load{-k_infinity, k_infinity};
  Range speed{-k_infinity, k_infinity};
};

Limits limits_of(const Situation& s) {
  Limits limits;
  if (s.direction == Direction::below) {
    if (s.load_pct) limits.load.high = *s.load_pct + k_alike_load_pct;
    if (s.speed_kmh && *s.speed_kmh > k_alike_speed_kmh)
      limits.speed.low = *s.speed_kmh - k_alike_speed_kmh;
  } else if (s.direction == Direction::above) {
    if (s.load_pct && *s.load_pct > k_alike_load_pct)
      limits.load.low = *s.load_pct - k_alike_load_pct;
    if (s.speed_kmh && *s.speed_kmh < k_slow_kmh) limits.speed.high = k_slow_kmh;
  }
  return limits;
}

bool bounded(const Range& range) { return std::isfinite(range.low) || std::isfinite(range.high); }

/// A mean within the limits; without a value it keeps none.
bool keeps(double sum, double seconds, const Range& range) {
  if (!bounded(range)) return true;
  const double mean = sum / seconds; // NaN where a value is missing
  return mean >= range.low && mean <= range.high;
}

/// Whether the engine, warm, ran for `stretch_s` on end within the limits, on the mean as the fault
/// showed itself on the mean: a warm-up at idle and red lights added up show no fault of a fan.
bool met(const Trip& trip, const Limits& limits, double stretch_s) {
  const Blocks& blocks = trip.blocks;
  struct {
    double seconds = 0.0, load = 0.0, speed = 0.0;
  } window;
  const auto length_s = [&](std::size_t i) {
    return blocks.end_s[i] - blocks.start_s[i] + trip.sample_period_s;
  };
  const auto count = [&](std::size_t i, double sign) {
    window.seconds += sign * length_s(i);
    window.load += sign * length_s(i) * static_cast<double>(blocks.load_lagged[i]);
    window.speed += sign * length_s(i) * static_cast<double>(blocks.speed[i]);
  };
  std::size_t first = 0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const bool unknown = (bounded(limits.load) && std::isnan(blocks.load_lagged[i])) ||
                         (bounded(limits.speed) && std::isnan(blocks.speed[i]));
    if (blocks.phase[i] != Phase::warm || unknown) {
      first = i + 1;
      window = {};
      continue;
    }
    count(i, 1.0);
    while (window.seconds - length_s(first) >= stretch_s) count(first++, -1.0);
    if (window.seconds >= stretch_s && keeps(window.load, window.seconds, limits.load) &&
        keeps(window.speed, window.seconds, limits.speed))
      return true;
  }
  return false;
}

bool any_known(const std::vector<float>& column) {
  return std::any_of(column.begin(), column.end(), [](float value) { return !std::isnan(value); });
}

std::string limit_words(const Range& range, const char* unit) {
  if (std::isfinite(range.high)) return fmt::format("{:.0f} {} or less", range.high, unit);
  return fmt::format("{:.0f} {} or more", range.low, unit);
}

std::string stretch_words(const Limits& limits) {
  std::string words;
  if (bounded(limits.load)) words = limit_words(limits.load, "% load");
  if (bounded(limits.speed))
    words += (words.empty() ? "" : " and ") + limit_words(limits.speed, "km/h");
  return words;
}

/// How much warmer (or colder) it may be outside with the fault still plain to see, K.
double other_weather_k(const Situation& s) {
  return std::max(k_alike_ambient_k, s.deviation_k - k_plain_to_see * s.half_width_k);
}

std::optional<double> warmest_c(const Situation& s) {
  if (s.direction != Direction::below || !s.ambient_c) return std::nullopt;
  return *s.ambient_c + other_weather_k(s);
}
std::optional<double> coldest_c(const Situation& s) {
  if (s.direction != Direction::above || !s.ambient_c) return std::nullopt;
  return *s.ambient_c - other_weather_k(s);
}

std::optional<std::string> wrong_weather(const Trip& trip, const Situation& s) {
  if (s.direction == Direction::erratic) return std::nullopt;
  if (!s.ambient_c)
    return "the drives with the fault do not tell the outside temperature (give --ambient-before), "
           "and other weather may hide it";
  const auto warmest = warmest_c(s);
  const auto coldest = coldest_c(s);
  const auto ambient = usual_ambient_c(trip);
  if (!ambient) return "the log does not tell the outside temperature (give --ambient)";
  if (warmest && *ambient > *warmest + k_told_k)
    return fmt::format("{:.0f} °C outside, where it takes {:.0f} °C or less", *ambient, *warmest);
  if (coldest && *ambient < *coldest - k_told_k)
    return fmt::format("{:.0f} °C outside, where it takes {:.0f} °C or more", *ambient, *coldest);
  return std::nullopt;
}

std::optional<std::string> unlike(const Trip& trip, const Situation& s) {
  if (running_s(trip) < needed_s(s))
    return fmt::format("only {} of running, where it takes {}", format_duration(running_s(trip)),
                       format_duration(needed_s(s)));
  if (auto reason = wrong_weather(trip, s)) return reason;
  const Limits limits = limits_of(s);
  if (bounded(limits.load) && !any_known(trip.blocks.load_lagged)) return "the log has no load";
  if (bounded(limits.speed) && !any_known(trip.blocks.speed)) return "the log has no road speed";
  if (met(trip, limits, stretch_s(s))) return std::nullopt;
  const std::string words = stretch_words(limits);
  return fmt::format("never {} on end warm{}{}, as it takes", format_duration(stretch_s(s)),
                     words.empty() ? "" : " and at ", words);
}

const Situation& easiest(const std::vector<Situation>& situations) {
  return *std::min_element(
      situations.begin(), situations.end(),
      [](const Situation& a, const Situation& b) { return needed_s(a) < needed_s(b); });
}

} // namespace

std::optional<double> usual_ambient_c(const Trip& trip) {
  std::vector<double> values;
  for (const float value : trip.blocks.ambient) {
    if (!std::isnan(value)) values.push_back(static_cast<double>(value));
  }
  if (values.empty()) return std::nullopt;
  return median(std::move(values));
}

double running_s(const Trip& trip) {
  double sum_s = 0.0;
  for (std::size_t i = 0; i < trip.blocks.size(); ++i) {
    if (trip.blocks.phase[i] != Phase::off)
      sum_s += trip.blocks.end_s[i] - trip.blocks.start_s[i] + trip.sample_period_s;
  }
  return sum_s;
}

const Episode* heaviest_episode(const std::vector<Episode>& episodes) {
  return heaviest_of(
      episodes, [](const Episode& episode) { return episode.explained_by == Explanation::none; });
}

Situation situation_in(const Episode& episode, double half_width_k) {
  return {episode.direction,
          episode.load_pct,
          episode.ambient_c,
          episode.speed_kmh,
          episode.start_s,
          episode.logged_s,
          std::abs(episode.mean_deviation_c),
          half_width_k};
}

Situation shown_by(Condition fault, Situation situation) {
  if (side_of(fault) != Direction::erratic) return situation;
  situation.direction = Direction::erratic;
  situation.load_pct.reset();
  situation.ambient_c.reset();
  situation.speed_kmh.reset();
  return situation;
}

bool fits(const Situation& situation, Condition fault) {
  const Direction side = side_of(fault);
  return side == Direction::erratic || situation.direction == side;
}

std::optional<Situation> situation_of(const TripFinding& finding) {
  const Judgement& judgement = finding.judgement;
  if (judgement.condition == Condition::normal || judgement.condition == Condition::undetermined)
    return std::nullopt;
  const Episode* episode = heaviest_episode(judgement.episodes);
  if (episode == nullptr) return usual_situation(judgement.condition, finding.trip);
  const Situation situation = situation_in(*episode, half_width_of(finding));
  return shown_by(judgement.condition, situation);
}

Situation situation_for(Condition fault, const TripFinding& finding) {
  const Direction side = side_of(fault);
  const Episode* episode = heaviest_of(finding.judgement.episodes,
                                       [&](const Episode& e) { return e.direction == side; });
  if (episode == nullptr || side == Direction::erratic) return usual_situation(fault, finding.trip);
  return situation_in(*episode, half_width_of(finding));
}

std::optional<std::string> unable_to_show(const Trip& trip,
                                          const std::vector<Situation>& situations) {
  std::optional<std::string> nearest;
  for (const Situation& situation : situations) {
    auto reason = unlike(trip, situation);
    if (!reason) return std::nullopt;
    if (!nearest) nearest = std::move(reason);
  }
  return nearest;
}

std::string telling_drive(const std::vector<Situation>& situations) {
  const Situation& s = easiest(situations);
  constexpr double k_step_min = 5.0;
  constexpr double k_proving_min = 30.0; // to warm up and to tell a level as well
  const double minutes =
      std::max(k_proving_min, k_step_min * std::ceil(needed_s(s) / 60.0 / k_step_min));
  std::string words = fmt::format("a drive of {:.0f} min or more", minutes);
  if (const auto warmest = warmest_c(s))
    words += fmt::format(" at {:.0f} °C outside or colder", *warmest);
  if (const auto coldest = coldest_c(s))
    words += fmt::format(" at {:.0f} °C outside or warmer", *coldest);
  const std::string stretch = stretch_words(limits_of(s));
  if (!stretch.empty())
    words += fmt::format(", {:.0f} min of it on end at {} once warm",
                         std::ceil(stretch_s(s) / 60.0), stretch);
  return words;
}

} // namespace coolband
