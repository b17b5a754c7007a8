// SPDX-License-Identifier: Apache-2.0
// Load, weather and stops that account for an episode without any fault.
#include "diagnose/explain.hpp"

#include "diagnose/deviations.hpp"

#include <cmath>

namespace coolband {

namespace {

/// Regulators let a thermostat monitor rest below -7 °C, and when an engine idles for more than
/// half of its warm-up (13 CCR 1968.2 (e)(10), UN R49 Annex 9B; both from memory): a sound engine
/// may then fail to reach its temperature.
constexpr double k_deep_cold_c = -7.0;
constexpr double k_cool_c = 5.0;
constexpr double k_idle_share = 0.5;
/// Between light and full load a sound thermostat regulates over its opening span: at least 8 K,
/// at most 15 K (the published spans are named in docs/methods.md).
constexpr double k_least_span_k = 8.0;
constexpr double k_widest_span_k = 15.0;
constexpr double k_heavy_load_pct = 65.0;
constexpr double k_hot_air_c = 35.0;
/// A road that climbs this steeply is heavy load whatever the load column says, m per m.
constexpr double k_steep = 0.04;
/// Fast running stores heat that shows once the air stops: within this long after it, s.
constexpr double k_after_fast_s = 600.0;
constexpr double k_fast_kmh = 90.0;
constexpr double k_slow_kmh = 20.0;

/// How far above the band conditions may push: the whole span where the band has not been, the
/// least span where its corrections already speak for such conditions.
double allowance_k(bool beyond_experience) { return beyond_experience ? k_widest_span_k : k_least_span_k; }

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
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (blocks.start_s[i] < from_s || blocks.start_s[i] > to_s) continue;
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
  return stretch.distance_m > 200.0 && stretch.climbed_m / stretch.distance_m >= k_steep;
}

bool after_fast_running(const Episode& episode, const Blocks& blocks) {
  if (!episode.speed_kmh || *episode.speed_kmh > k_slow_kmh) return false;
  if (episode.end_s - episode.start_s > k_after_fast_s) return false;
  const Stretch before = measure(blocks, episode.start_s - k_after_fast_s, episode.start_s - k_after_fast_s / 2.0);
  return before.length_s > 120.0 && before.mean_speed_kmh >= k_fast_kmh;
}

bool by_heavy_load(const Episode& episode, const Blocks& blocks, const NormalBand& band) {
  const double excess = episode.worst_deviation_c;
  if (episode.load_pct && *episode.load_pct >= k_heavy_load_pct) {
    const bool new_ground = !band.load_c_per_pct || beyond(band.load_seen_pct, *episode.load_pct, 0.0);
    if (excess <= allowance_k(new_ground)) return true;
  }
  return excess <= k_widest_span_k && (climbs_steeply(episode, blocks) || after_fast_running(episode, blocks));
}

bool by_hot_weather(const Episode& episode, const NormalBand& band) {
  if (!episode.ambient_c || *episode.ambient_c < k_hot_air_c) return false;
  const bool new_ground = beyond(band.ambient_seen_c, *episode.ambient_c, 2.0);
  return episode.worst_deviation_c <= allowance_k(new_ground);
}

bool by_cold_weather(const Episode& episode, const Blocks& blocks) {
  if (!episode.ambient_c) return false;
  if (*episode.ambient_c <= k_deep_cold_c) return true;
  const auto idle = idle_share(blocks, episode.start_s, episode.end_s);
  return *episode.ambient_c <= k_cool_c && idle && *idle >= k_idle_share;
}

/// Most of the episode lies in a settling after a stop.
bool by_restart(const Episode& episode, const Blocks& blocks) {
  double settling_s = 0.0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const bool inside = blocks.start_s[i] >= episode.start_s && blocks.end_s[i] <= episode.end_s;
    if (inside && blocks.phase[i] == Phase::restart) settling_s += blocks.end_s[i] - blocks.start_s[i];
  }
  return settling_s > 0.5 * (episode.end_s - episode.start_s);
}

} // namespace

std::optional<double> idle_share(const Blocks& blocks, double from_s, double to_s) {
  double idle_s = 0.0;
  double all_s = 0.0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (blocks.start_s[i] < from_s || blocks.start_s[i] > to_s) continue;
    const auto speed = known(blocks.speed[i]);
    if (!speed) continue;
    const double length_s = blocks.end_s[i] - blocks.start_s[i];
    all_s += length_s;
    if (*speed < 5.0) idle_s += length_s;
  }
  if (all_s <= 0.0) return std::nullopt;
  return idle_s / all_s;
}

Explanation explain(const Episode& episode, const Trip& trip, const NormalBand& band) {
  if (by_restart(episode, trip.blocks)) return Explanation::restart;
  if (episode.direction == Direction::below) {
    return by_cold_weather(episode, trip.blocks) ? Explanation::cold_weather : Explanation::none;
  }
  if (by_heavy_load(episode, trip.blocks, band)) return Explanation::heavy_load;
  if (by_hot_weather(episode, band)) return Explanation::hot_weather;
  return Explanation::none;
}

} // namespace coolband
