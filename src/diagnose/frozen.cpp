// SPDX-License-Identifier: Apache-2.0
// A reading that stands still while the engine does not.
#include "diagnose/frozen.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace coolband {

namespace {

constexpr double k_looks = 20.0;
constexpr double k_least_s = 1200.0;
/// Within-drive spread below which coarse readings may stand by themselves, K.
constexpr double k_moving_within_c = 0.7;
/// Between standing and town traffic at least (common practice, no source).
constexpr double k_speed_change_kmh = 40.0;

/// So many half widths off its level nothing regulates: the reading follows heat, road and weather.
constexpr double k_far_out = 2.0;

/// A reading leaves one of its steps sooner than it forgets where it was, the finer they are beside
/// its spread: the way of so many steps is as good as an independent look.
constexpr double k_steps_a_look = 3.0;
/// Warmer than any air, or by so much than it was in this trip, K: the engine ran, and one that has
/// stopped cools.
constexpr double k_no_air_c = 50.0;
constexpr double k_warmed_by_k = 10.0;

bool engine_warm(const Blocks& blocks, const FlatStretch& stretch) {
  const auto still_c = static_cast<double>(blocks.coolant[stretch.first]);
  double coldest_c = still_c;
  for (const float reading : blocks.coolant) {
    if (!std::isnan(reading)) coldest_c = std::min(coldest_c, static_cast<double>(reading));
  }
  return still_c >= std::min(k_no_air_c, coldest_c + k_warmed_by_k);
}

/// An engine that idles keeps within steps wider than this for as long as it likes, K.
constexpr double k_fine_k = 0.5;

/// By the road speed; where it is not known, an engine that is warm is never in balance for long,
/// by a fine reading.
bool should_move(const Trip& trip, const FlatStretch& stretch) {
  const auto change_kmh = range_within(trip.blocks.speed, stretch);
  if (change_kmh) return *change_kmh >= k_speed_change_kmh;
  return trip.resolution_c < k_fine_k && engine_warm(trip.blocks, stretch);
}

/// A sound reading would have shown so many steps while it stood still.
constexpr double k_steps_missed = 12.0;
constexpr double k_least_flat_s = 300.0;
constexpr double k_finest_step_k = 0.1;
/// The circuit itself may drift so far where the coolant stands still, K.
constexpr double k_least_way_k = 2.0;

/// How far a sound reading would have gone, up and down, in the stretch, K: movement too small to
/// turn a step of the reading over does not add up, however long it goes on.
double way_of(const SoundCourse& sound, const FlatStretch& stretch, double step_k) {
  double way_k = 0.0;
  double held_c = std::nan("");
  for (std::size_t i = stretch.first; i <= stretch.last; ++i) {
    const auto now_c = static_cast<double>(sound.reading_c[i]);
    if (std::isnan(now_c)) continue;
    const double moved_k = std::abs(now_c - held_c);
    if (moved_k < step_k) continue;
    if (!std::isnan(moved_k)) way_k += moved_k;
    held_c = now_c;
  }
  return way_k;
}

FlatStretch longest_flat(const Trip& trip) {
  FlatStretch longest;
  for_each_flat_stretch(trip.blocks, [&](const FlatStretch& stretch) {
    if (stretch.length_s > longest.length_s) longest = stretch;
  });
  return longest;
}

/// So long may a sound reading of this vehicle stand still there, s.
double stillest_s(const Trip& trip, const NormalBand& band, const FlatStretch& stretch,
                  double step_k) {
  const auto still_c = static_cast<double>(trip.blocks.coolant[stretch.first]);
  if (std::abs(still_c - band.centre_c) > k_far_out * band.half_width_c) return k_least_s;
  if (band.within_c < k_moving_within_c) return std::numeric_limits<double>::infinity();
  const double look_s = band.correlation_s * std::min(1.0, k_steps_a_look * step_k / band.within_c);
  return std::max(k_least_s, k_looks * look_s);
}

} // namespace

std::optional<FlatStretch> frozen_stretch(const Trip& trip, const NormalBand& band,
                                          const std::optional<SoundCourse>& sound) {
  const FlatStretch longest = longest_flat(trip);
  const double step_k = std::max(trip.resolution_c, k_finest_step_k);
  if (sound && longest.length_s >= k_least_flat_s &&
      way_of(*sound, longest, step_k) >= std::max(k_steps_missed * step_k, k_least_way_k))
    return longest;
  if (band.origin != BandOrigin::learned) return std::nullopt;
  if (longest.length_s < stillest_s(trip, band, longest, step_k)) return std::nullopt;
  if (!should_move(trip, longest)) return std::nullopt;
  return longest;
}

bool may_be_frozen(const Trip& trip) { return longest_flat(trip).length_s >= k_least_flat_s; }

} // namespace coolband
