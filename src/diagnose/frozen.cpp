// SPDX-License-Identifier: Apache-2.0
// A reading that stands still while the engine does not.
#include "diagnose/frozen.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

constexpr double k_looks = 20.0;
constexpr double k_least_s = 1200.0;
/// Within-drive spread below which coarse readings may stand by themselves, K.
constexpr double k_moving_within_c = 0.7;
/// Between standing and town traffic at least (common practice, no source).
constexpr double k_speed_change_kmh = 40.0;

/// True too where nothing is known of the speed.
bool speed_changed(const Blocks& blocks, const FlatStretch& stretch) {
  return range_within(blocks.speed, stretch).value_or(k_speed_change_kmh) >= k_speed_change_kmh;
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

} // namespace

std::optional<FlatStretch> frozen_stretch(const Trip& trip, const NormalBand& band,
                                          const std::optional<SoundCourse>& sound) {
  const FlatStretch longest = longest_flat(trip);
  const double step_k = std::max(trip.resolution_c, k_finest_step_k);
  if (sound && longest.length_s >= k_least_flat_s &&
      way_of(*sound, longest, step_k) >= std::max(k_steps_missed * step_k, k_least_way_k))
    return longest;
  if (band.origin != BandOrigin::learned || band.within_c < k_moving_within_c) return std::nullopt;
  const double least_s = std::max(k_least_s, k_looks * band.correlation_s);
  if (longest.length_s < least_s || !speed_changed(trip.blocks, longest)) return std::nullopt;
  return longest;
}

bool may_be_frozen(const Trip& trip) { return longest_flat(trip).length_s >= k_least_flat_s; }

} // namespace coolband
