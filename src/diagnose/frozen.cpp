// SPDX-License-Identifier: Apache-2.0
// A reading that stands still while the engine does not.
#include "diagnose/frozen.hpp"

#include "segment/flat_stretch.hpp"

#include <algorithm>

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

} // namespace

std::optional<double> frozen_for_s(const Trip& trip, const NormalBand& band) {
  if (band.origin != BandOrigin::learned || band.within_c < k_moving_within_c) return std::nullopt;
  FlatStretch longest;
  for_each_flat_stretch(trip.blocks, [&](const FlatStretch& stretch) {
    if (stretch.length_s > longest.length_s) longest = stretch;
  });
  const double least_s = std::max(k_least_s, k_looks * band.correlation_s);
  if (longest.length_s < least_s || !speed_changed(trip.blocks, longest)) return std::nullopt;
  return longest.length_s;
}

} // namespace coolband
