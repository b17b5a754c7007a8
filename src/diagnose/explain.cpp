// SPDX-License-Identifier: Apache-2.0
// Load, weather and stops that account for an episode without any fault.
#include "diagnose/explain.hpp"

#include "band/condition_walk.hpp"
#include "diagnose/deviations.hpp"
#include "diagnose/logged.hpp"
#include "diagnose/may_have_idled.hpp"
#include "diagnose/opening_span.hpp"
#include "diagnose/warm_up_time.hpp"
#include "segment/blocks_within.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

constexpr double k_cool_c = 5.0;
/// An engine that has stood for a while is warmer than the air by no more than this, K (common
/// practice, no source).
constexpr double k_left_warm_k = 5.0;
constexpr double k_heavy_load_pct = 65.0;
constexpr double k_hot_air_c = 35.0;
/// A road that climbs this steeply is heavy load whatever the load column says, m per m.
constexpr double k_steep = 0.04;
/// ... and as it is driven: a crawl takes hardly more than idling. 0.25 m/s is 2.5 W/kg, a third of
/// what a laden lorry has (8 W/kg; common practice, no source).
constexpr double k_climbs_mps = 0.25;
/// Fast running stores heat that shows once the air stops: within this long after it, s.
constexpr double k_after_fast_s = 600.0;
constexpr double k_fast_kmh = 90.0;
constexpr double k_slow_kmh = 20.0;
/// A fan that comes in ends it within this time (common practice, no source).
constexpr double k_fan_ends_it_s = 900.0;
/// Where the circuit foresees an excursion, this much load or warmth names it.
constexpr double k_some_load_pct = 45.0;
constexpr double k_warm_air_c = 28.0;
/// A reading lies beyond what the circuit foresees by its threshold and so many standard errors...
constexpr double k_reach = 2.0;
/// ...and the circuit foresees an excursion from this share of the threshold on.
constexpr double k_foreseen_share = 0.5;
/// Cold while it stands for this share of the time, and then alone: a valve that hangs open shows
/// under way.
constexpr double k_idles_share = 0.8;
/// A reading has found its level this long after a start or a stop, s.
constexpr double k_settled_s = 300.0;
/// ... and at the latest, if it comes nearer to it all the while.
constexpr double k_creeps_s = 600.0;
/// Colder than the drives by this (or warmer at the start) is beyond their experience, K.
constexpr double k_colder_k = 2.0;
/// How far the level follows the air, K per K: 0.1 to 0.2 (common practice, no source).
constexpr double k_level_per_air = 0.2;
/// Air is no hotter than this, °C (common practice, no source).
constexpr double k_hottest_air_c = 45.0;
/// A heater that no drive has shown, and air that is colder than theirs, take up to this share of
/// what holds a driven engine above the air; seen over this long, s (common practice, no source).
constexpr double k_heater_share = 1.0 / 3.0;
constexpr double k_long_cold_s = 600.0;
/// So far above its centre a reading is past its level: the tolerance of the start of opening, K
/// (TM 5-3825-229-14&P).
constexpr double k_past_level_k = 3.0;
/// ... and for so long, s: a gust or a gear is over sooner.
constexpr double k_past_level_s = 60.0;
/// Farther below its level than this (K) it is a cold engine, not one that settles; unless it stood
/// for so long that it lost more.
constexpr double k_settling_k = 10.0;

/// How far above the band conditions may push: the whole span where the band has not been, the
/// least span where its corrections already speak for such conditions.
double allowance_k(bool beyond_experience) {
  return beyond_experience ? k_widest_span_k : k_least_span_k;
}

bool beyond(const std::optional<Range>& seen, double value, double margin) {
  return !seen || value > seen->high + margin;
}

struct Stretch {
  double mean_speed_kmh = 0.0;
  double length_s = 0.0;
  double climbed_m = 0.0;
  double distance_m = 0.0;
};

Stretch measure(const Blocks& blocks, double from_s, double to_s) {
  Stretch stretch;
  std::optional<double> altitude;
  const auto [first, past] = blocks_within(blocks, from_s, to_s);
  for (std::size_t i = first; i < past; ++i) {
    const auto speed = known(blocks.speed[i]);
    const double length_s = blocks.end_s[i] - blocks.start_s[i];
    if (speed) {
      stretch.mean_speed_kmh += *speed * length_s;
      stretch.distance_m += *speed / 3.6 * length_s;
      stretch.length_s += length_s;
    }
    const auto height = known(blocks.altitude[i]);
    if (height && altitude) stretch.climbed_m += *height - *altitude;
    if (height) altitude = height;
  }
  if (stretch.length_s > 0.0) stretch.mean_speed_kmh /= stretch.length_s;
  return stretch;
}

bool climbs_steeply(const Episode& episode, const Blocks& blocks) {
  const Stretch stretch = measure(blocks, episode.start_s - 120.0, episode.end_s);
  return stretch.distance_m > 200.0 && stretch.climbed_m / stretch.distance_m >= k_steep &&
         stretch.climbed_m / stretch.length_s >= k_climbs_mps;
}

bool after_fast_running(const Episode& episode, const Blocks& blocks) {
  if (!episode.speed_kmh || *episode.speed_kmh > k_slow_kmh) return false;
  if (episode.end_s - episode.start_s > k_after_fast_s) return false;
  const Stretch before =
      measure(blocks, episode.start_s - k_after_fast_s, episode.start_s - k_after_fast_s / 2.0);
  return before.length_s > 120.0 && before.mean_speed_kmh >= k_fast_kmh;
}

bool by_heavy_load(const Episode& episode, const Blocks& blocks, const NormalBand& band) {
  const double excess = episode.worst_deviation_c;
  if (episode.load_pct && *episode.load_pct >= k_heavy_load_pct) {
    const bool new_ground =
        !band.load_c_per_pct || beyond(band.load_seen_pct, *episode.load_pct, 0.0);
    if (excess <= allowance_k(new_ground)) return true;
  }
  return excess <= k_widest_span_k &&
         (climbs_steeply(episode, blocks) || after_fast_running(episode, blocks));
}

/// Where the outside temperature was not logged, a start that is colder than any learned one tells
/// of colder air, and one that is warmer may be that of an engine in hotter air; either moves the
/// level itself. By so much, K.
double moved_by_the_air_k(const Episode& episode, const Trip& trip, const NormalBand& band) {
  if (episode.ambient_c) return 0.0;
  const auto start_c = coldest_start_c(trip);
  const auto learned_c = starts_c(band);
  if (!start_c || !learned_c) return 0.0;
  const double beyond_k = episode.direction == Direction::below ? learned_c->low - *start_c
                                                                : *start_c - learned_c->high;
  const bool may_be_air = *start_c <= k_hottest_air_c;
  return may_be_air && beyond_k > k_colder_k ? k_level_per_air * beyond_k : 0.0;
}

bool by_air_not_logged(const Episode& episode, const Trip& trip, const NormalBand& band) {
  const double moved_k = moved_by_the_air_k(episode, trip, band);
  return moved_k > 0.0 && std::abs(episode.mean_deviation_c) <= episode.threshold_c + moved_k;
}

bool by_hot_weather(const Episode& episode, const Trip& trip, const NormalBand& band) {
  if (by_air_not_logged(episode, trip, band)) return true;
  if (!episode.ambient_c || *episode.ambient_c < k_hot_air_c) return false;
  const bool new_ground = beyond(band.ambient_seen_c, *episode.ambient_c, 2.0);
  return episode.worst_deviation_c <= allowance_k(new_ground);
}

/// An engine at rest is never colder than the air: a start in deep cold tells of the air even where
/// the outside temperature was not logged.
bool started_in_deep_cold(const Trip& trip) {
  const auto start_c = coldest_start_c(trip);
  return start_c && *start_c <= k_deep_cold_c;
}

/// By the outside temperature, or as far as the engine's own at a start can tell of it.
bool in_cool_air(const Episode& episode, const Trip& trip) {
  if (episode.ambient_c) return *episode.ambient_c <= k_cool_c;
  const auto start_c = coldest_start_c(trip);
  return start_c && *start_c <= k_cool_c + k_left_warm_k;
}

bool by_cold_weather(const Episode& episode, const Trip& trip, const NormalBand& band) {
  if (!episode.ambient_c && started_in_deep_cold(trip)) return true;
  if (by_air_not_logged(episode, trip, band)) return true;
  if (episode.ambient_c && *episode.ambient_c <= k_deep_cold_c) return true;
  if (!in_cool_air(episode, trip)) return false;
  const auto idle = idle_share(trip.blocks, episode.start_s, episode.end_s);
  return idle ? *idle >= k_idle_share
              : may_have_idled(episode, trip) && !slow_though_at_work(episode, trip, band);
}

bool by_slow_running(const Episode& episode) {
  return episode.speed_kmh && *episode.speed_kmh < k_slow_kmh &&
         episode.worst_deviation_c <= k_fan_comes_in_k &&
         episode.end_s - episode.start_s <= k_fan_ends_it_s;
}

/// An engine that idles, hardly works or stands switched off makes less heat than it loses, a sound
/// one too.
bool by_idling(const Episode& episode, const Trip& trip, const NormalBand& band) {
  if (band.origin != BandOrigin::learned) return false;
  const auto idle = idle_share(trip.blocks, episode.start_s, episode.end_s);
  if (idle && *idle >= k_idles_share) return true;
  if (may_have_stood(episode, trip)) return true;
  const bool may_hardly_work = !logged(trip.blocks.load) || (idle && *idle >= k_idle_share);
  return may_hardly_work && warmed_up_late(episode, trip, band) &&
         !slow_though_at_work(episode, trip, band);
}

/// The phase that led into the episode: that of the block before it, or of its first block.
Phase led_by(const Episode& episode, const Blocks& blocks) {
  Phase phase = Phase::warm;
  for (std::size_t i = 0; i < blocks.size() && blocks.start_s[i] <= episode.start_s; ++i) {
    if (blocks.phase[i] != Phase::warm || blocks.start_s[i] < episode.start_s)
      phase = blocks.phase[i];
  }
  return phase;
}

/// How far from where the band expects the reading at that load and in that weather it is on
/// average, K; a loaded engine passes the centre on its way up. NaN without a reading.
class OffLevel {
 public:
  OffLevel(const Trip& trip, const NormalBand& band)
      : blocks_(trip.blocks), predictor_(band), walk_(blocks_), centre_c_(band.centre_c) {}

  /// Stretches in the order of time.
  double mean_k(double from_s, double to_s) {
    double sum = 0.0;
    double count = 0.0;
    each(from_s, to_s, [&](std::size_t i, double expected_c) {
      sum += static_cast<double>(blocks_.coolant[i]) - expected_c;
      count += 1.0;
    });
    return sum / count;
  }

  /// s for which it lies past its level, the higher of the two that it may have.
  double past_s(double from_s, double to_s) {
    double sum_s = 0.0;
    each(from_s, to_s, [&](std::size_t i, double expected_c) {
      const double level_c = std::max(centre_c_, expected_c);
      if (static_cast<double>(blocks_.coolant[i]) > level_c + k_past_level_k)
        sum_s += blocks_.end_s[i] - (i > 0 ? blocks_.end_s[i - 1] : blocks_.start_s[i]);
    });
    return sum_s;
  }

 private:
  template <class Do>
  void each(double from_s, double to_s, Do then) {
    for (; next_ < blocks_.size() && blocks_.start_s[next_] <= to_s; ++next_) {
      walk_.step();
      if (blocks_.start_s[next_] >= from_s && !std::isnan(blocks_.coolant[next_]))
        then(next_, predictor_.at(walk_.conditions()).centre_c);
    }
  }

  const Blocks& blocks_;
  Predictor predictor_;
  ConditionWalk walk_;
  double centre_c_;
  std::size_t next_ = 0;
};

bool passes_level(const Trip& trip, const NormalBand& band, double from_s, double to_s) {
  return OffLevel(trip, band).past_s(from_s, to_s) >= k_past_level_s;
}

/// Half as far from its level in the last third of the episode as in the first, or nearer.
bool creeps_up(const Episode& episode, const Trip& trip, const NormalBand& band) {
  OffLevel off(trip, band);
  const double third_s = (episode.end_s - episode.start_s) / 3.0;
  const double first_k = off.mean_k(episode.start_s, episode.start_s + third_s);
  const double last_k = off.mean_k(episode.end_s - third_s, episode.end_s);
  return std::abs(last_k) <= 0.5 * std::abs(first_k);
}

/// A warm-up that creeps up to its level falls back below the band now and then. One that shot past
/// its level and falls below it is another matter: a valve does that.
bool ends_warm_up(const Episode& episode, const Trip& trip, const NormalBand& band) {
  if (episode.extreme_c < band.centre_c - k_settling_k) return false;
  const auto ends = [&](const WarmUp& warm_up, double settled_s) {
    if (!warm_up.reached_s || episode.end_s <= warm_up.start_s + *warm_up.reached_s) return false;
    const double usual_s = expected_warm_up_s(band, warm_up).value_or(0.0);
    return episode.end_s <= warm_up.start_s + std::max(usual_s, *warm_up.reached_s) + settled_s;
  };
  const auto last = std::find_if(trip.warm_ups.begin(), trip.warm_ups.end(),
                                 [&](const WarmUp& warm_up) { return ends(warm_up, k_creeps_s); });
  if (last == trip.warm_ups.end()) return false;
  if (!ends(*last, k_settled_s) && !creeps_up(episode, trip, band)) return false;
  return !passes_level(trip, band, last->start_s + *last->reached_s, episode.end_s);
}

/// What an engine may have lost, K, that stood before what began within `k_settled_s` of the start:
/// a hole in the rows, or switched off.
double lost_standing_k(const Episode& episode, const Blocks& blocks) {
  double longest_s = 0.0;
  double off_s = 0.0;
  const auto [first, past] = blocks_within(blocks, 0.0, episode.start_s);
  for (std::size_t i = first; i < past; ++i) {
    if (i > 0 && blocks.phase[i] == Phase::off) {
      off_s += blocks.end_s[i] - blocks.end_s[i - 1];
      continue;
    }
    const double hole_s = i > 0 ? blocks.start_s[i] - blocks.end_s[i - 1] : 0.0;
    if (blocks.start_s[i] >= episode.start_s - k_settled_s)
      longest_s = std::max(longest_s, off_s + hole_s);
    off_s = 0.0;
  }
  return k_fastest_stand_k_per_min * longest_s / 60.0;
}

/// Heat soak after a stop, or the last kelvins of a warm-up: both are over within minutes. An
/// overshoot at the first opening is not among them: it tells of a late thermostat.
Explanation by_settling(const Episode& episode, const Trip& trip, const NormalBand& band) {
  const Blocks& blocks = trip.blocks;
  const bool below = episode.direction == Direction::below;
  if (below && ends_warm_up(episode, trip, band)) return Explanation::warm_up;
  if (episode.end_s - episode.start_s > k_settled_s) return Explanation::none;
  const double below_k = -episode.worst_deviation_c;
  if (below_k > k_settling_k && below_k > lost_standing_k(episode, blocks))
    return Explanation::none;
  const Phase phase = led_by(episode, blocks);
  if (phase == Phase::restart || phase == Phase::off) return Explanation::restart;
  if (phase == Phase::warm_up && below) return Explanation::warm_up;
  return Explanation::none;
}

/// What conditions alone account for, by the rules of the trade.
Explanation by_rule(const Episode& episode, const Trip& trip, const NormalBand& band) {
  if (episode.direction == Direction::below && by_cold_weather(episode, trip, band))
    return Explanation::cold_weather;
  const Explanation settling = by_settling(episode, trip, band);
  if (settling != Explanation::none) return settling;
  if (episode.direction == Direction::below)
    return by_idling(episode, trip, band) ? Explanation::slow_running : Explanation::none;
  if (by_heavy_load(episode, trip.blocks, band)) return Explanation::heavy_load;
  if (by_hot_weather(episode, trip, band)) return Explanation::hot_weather;
  if (by_slow_running(episode)) return Explanation::slow_running;
  if (may_have_stood(episode, trip)) return Explanation::restart;
  return Explanation::none;
}

/// Settling after a stop is nothing that a circuit could know better: the stop is not logged.
bool lasts(Explanation explanation) {
  return explanation == Explanation::restart || explanation == Explanation::warm_up;
}

/// The circuit foresees the excursion: what of the conditions it comes from.
Explanation by_conditions(const Episode& episode, const Trip& trip) {
  if (episode.direction == Direction::below) return Explanation::cold_weather;
  const bool slow = episode.speed_kmh && *episode.speed_kmh < k_slow_kmh;
  if (episode.load_pct && *episode.load_pct >= k_some_load_pct) return Explanation::heavy_load;
  if (climbs_steeply(episode, trip.blocks)) return Explanation::heavy_load;
  if (episode.ambient_c && *episode.ambient_c >= k_warm_air_c) return Explanation::hot_weather;
  return slow ? Explanation::slow_running : Explanation::heavy_load;
}

/// Farther below what the circuit foresees than any cold and any heater bring a driven engine. An
/// engine that idles in deep cold may go as far.
bool beyond_any_cold(const Episode& episode, const Trip& trip, const SoundReading& sound) {
  if (episode.direction != Direction::below || !episode.ambient_c) return false;
  if (episode.end_s - episode.start_s < k_long_cold_s) return false;
  const auto idle = idle_share(trip.blocks, episode.start_s, episode.end_s);
  if (!idle || *idle >= k_idle_share) return false;
  const double above_air_k = *episode.observed_c - *episode.ambient_c;
  const double sound_k = sound.mean_c - k_reach * sound.error_k - *episode.ambient_c;
  return above_air_k < (1.0 - k_heater_share) * sound_k;
}

} // namespace

std::optional<double> coldest_start_c(const Trip& trip) {
  std::optional<double> coldest_c;
  for (const WarmUp& warm_up : trip.warm_ups)
    coldest_c = std::min(coldest_c.value_or(warm_up.from_c), warm_up.from_c);
  return coldest_c;
}

std::optional<Range> starts_c(const NormalBand& band) {
  std::optional<Range> starts;
  for (const DriveSummary& drive : band.drives) {
    if (!drive.warm_up || !drive.warm_up->rate_k_per_min) continue;
    const double from_c = drive.warm_up->from_c;
    if (!starts) starts = Range{from_c, from_c};
    starts = Range{std::min(starts->low, from_c), std::max(starts->high, from_c)};
  }
  return starts;
}

bool in_deep_cold(const WarmUp& warm_up) {
  return warm_up.from_c <= k_deep_cold_c || warm_up.ambient_c.value_or(0.0) <= k_deep_cold_c;
}

bool in_deep_cold(const Trip& trip) {
  return started_in_deep_cold(trip) ||
         std::any_of(trip.blocks.ambient.begin(), trip.blocks.ambient.end(),
                     [](float c) { return c <= static_cast<float>(k_deep_cold_c); });
}

std::optional<double> idle_share(const Blocks& blocks, double from_s, double to_s) {
  double idle_s = 0.0;
  double all_s = 0.0;
  const auto [first, past] = blocks_within(blocks, from_s, to_s);
  for (std::size_t i = first; i < past; ++i) {
    const auto speed = known(blocks.speed[i]);
    if (!speed) continue;
    const double length_s = blocks.end_s[i] - blocks.start_s[i];
    all_s += length_s;
    if (*speed < 5.0) idle_s += length_s;
  }
  if (all_s <= 0.0) return std::nullopt;
  return idle_s / all_s;
}

bool beyond_experience(const Episode& episode, const NormalBand& band) {
  if (episode.direction == Direction::below)
    return episode.ambient_c &&
           (!band.ambient_seen_c || *episode.ambient_c < band.ambient_seen_c->low - k_colder_k);
  return episode.load_pct && beyond(band.load_seen_pct, *episode.load_pct, 0.0);
}

Explanation explain(const Episode& episode, const Trip& trip, const NormalBand& band,
                    const std::optional<SoundReading>& sound) {
  const Explanation usual = by_rule(episode, trip, band);
  if (!sound || !episode.observed_c || !episode.expected_c) return usual;
  const double side = episode.direction == Direction::below ? -1.0 : 1.0;
  const double beyond_k = side * (*episode.observed_c - sound->mean_c);
  const double foreseen_k = side * (sound->mean_c - *episode.expected_c);
  const double reach_k = episode.threshold_c + k_reach * sound->error_k;
  if (beyond_k > reach_k) {
    const bool may_be = beyond_experience(episode, band) && !beyond_any_cold(episode, trip, *sound);
    return lasts(usual) || may_be ? usual : Explanation::none;
  }
  if (usual != Explanation::none) return usual;
  return foreseen_k > k_foreseen_share * episode.threshold_c ? by_conditions(episode, trip)
                                                             : Explanation::none;
}

} // namespace coolband
