// SPDX-License-Identifier: Apache-2.0
// Load, weather and stops that account for an episode without any fault.
#pragma once

#include "coolband/diagnose/judgement.hpp"

namespace coolband {

/// What a sound vehicle would have read during an episode, by its learned thermal circuit.
struct SoundReading {
  double mean_c = 0.0;
  double error_k = 0.0; ///< standard error by what is not known of the vehicle
};

/// What accounts for `episode`, or Explanation::none. Where the circuit is known it decides whether
/// anything does; load, weather and stops then name it.
Explanation explain(const Episode& episode, const Trip& trip, const NormalBand& band,
                    const std::optional<SoundReading>& sound = std::nullopt);

/// Low, since the engine idled, hardly worked or stood.
inline bool idles(const Episode& episode) {
  return episode.direction == Direction::below && episode.explained_by == Explanation::slow_running;
}
/// A valve that hangs open reads the same.
inline bool hides_open_valve(const Episode& episode) {
  return episode.explained_by == Explanation::cold_weather || idles(episode);
}

/// Heavier load, or deeper cold, than the drives behind band and circuit have seen: what the engine
/// makes of it is not known there, and the rules of the trade stand. Heat is: air enters every
/// balance alike.
bool beyond_experience(const Episode& episode, const NormalBand& band);

/// Standing or crawling, a sound engine warms to where its fan comes in: up to this far above its
/// level, K (common practice, no source).
inline constexpr double k_fan_comes_in_k = 15.0;

/// Regulators let a thermostat monitor rest below -7 °C, and when an engine idles for more than
/// half of its warm-up (13 CCR 1968.2 (e)(10), UN R49 Annex 9B; both from memory): a sound engine
/// may then fail to reach its temperature.
inline constexpr double k_deep_cold_c = -7.0;
inline constexpr double k_idle_share = 0.5;

/// °C, the engine's own at the coldest start of a warm-up; none where there is none.
std::optional<double> coldest_start_c(const Trip& trip);
/// Of the drives that the band was learned from, as far as it keeps them: coldest and warmest.
std::optional<Range> starts_c(const NormalBand& band);

/// Air, or the engine at a start, at `k_deep_cold_c` and below.
bool in_deep_cold(const Trip& trip);
bool in_deep_cold(const WarmUp& warm_up);

/// Share of the time within [from_s, to_s] at less than 5 km/h; none without road speed.
std::optional<double> idle_share(const Blocks& blocks, double from_s, double to_s);

} // namespace coolband
