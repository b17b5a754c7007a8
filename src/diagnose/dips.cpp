// SPDX-License-Identifier: Apache-2.0
// Drops of the reading that coolant cannot make but gas at the sensor can.
#include "diagnose/dips.hpp"

#include <cmath>

namespace coolband {

namespace {

constexpr double k_fastest_k_per_s = 0.3;
/// Blocks that start farther apart than this tell nothing of speed, s.
constexpr double k_longest_step_s = 15.0;
/// Later than this after its fall a rise is another matter, s.
constexpr double k_longest_dip_s = 120.0;

bool warm(const Blocks& blocks, std::size_t i) {
  return blocks.phase[i] == Phase::warm && !std::isnan(blocks.coolant[i]);
}

} // namespace

std::optional<std::size_t> sudden_dips(const Trip& trip) {
  const Blocks& blocks = trip.blocks;
  std::size_t dips = 0;
  bool seen = false;
  double fell_s = -1e9; // never
  for (std::size_t i = 1; i < blocks.size(); ++i) {
    const double step_s = blocks.start_s[i] - blocks.start_s[i - 1];
    if (!warm(blocks, i) || !warm(blocks, i - 1) || step_s > k_longest_step_s) continue;
    seen = true;
    const double change =
        static_cast<double>(blocks.coolant[i]) - static_cast<double>(blocks.coolant[i - 1]);
    if (std::abs(change) < k_fastest_k_per_s * step_s + trip.resolution_c) continue;
    if (change < 0.0) {
      fell_s = blocks.start_s[i];
    } else if (blocks.start_s[i] - fell_s <= k_longest_dip_s) {
      ++dips;
      fell_s = -1e9;
    }
  }
  if (!seen) return std::nullopt;
  return dips;
}

} // namespace coolband
