// SPDX-License-Identifier: Apache-2.0
// A reading that stands still while the engine does not.
#include "diagnose/frozen.hpp"

#include "diagnose/deviations.hpp"

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

struct Stretch {
  std::size_t first = 0;
  std::size_t last = 0;
  double length_s = 0.0;
};

Stretch longest_flat(const Blocks& blocks) {
  Stretch longest;
  std::optional<std::size_t> from;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const auto reading = known(blocks.coolant[i]);
    if (!reading || blocks.phase[i] == Phase::off) continue;
    const bool same =
        from && std::abs(*reading - static_cast<double>(blocks.coolant[*from])) < 1e-4;
    if (!same) from = i;
    const double length_s = blocks.end_s[i] - blocks.start_s[*from];
    if (length_s > longest.length_s) longest = {*from, i, length_s};
  }
  return longest;
}

/// True too where nothing is known of the speed.
bool speed_changed(const Blocks& blocks, const Stretch& stretch) {
  double low = 1e9;
  double high = -1e9;
  for (std::size_t i = stretch.first; i <= stretch.last; ++i) {
    if (const auto speed = known(blocks.speed[i])) {
      low = std::min(low, *speed);
      high = std::max(high, *speed);
    }
  }
  return low > high || high - low >= k_speed_change_kmh;
}

} // namespace

std::optional<double> frozen_for_s(const Trip& trip, const NormalBand& band) {
  if (band.origin != BandOrigin::learned || band.within_c < k_moving_within_c) return std::nullopt;
  const Stretch stretch = longest_flat(trip.blocks);
  const double least_s = std::max(k_least_s, k_looks * band.correlation_s);
  if (stretch.length_s < least_s || !speed_changed(trip.blocks, stretch)) return std::nullopt;
  return stretch.length_s;
}

} // namespace coolband
