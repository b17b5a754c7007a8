// SPDX-License-Identifier: Apache-2.0
// What a whole trip tells of its sensors: frozen readings, and the reading of a cold engine.
#include "segment/sanity.hpp"

#include "segment/flat_stretch.hpp"

#include <algorithm>
#include <cmath>

namespace coolband {

namespace {

// All common practice, no source.
constexpr double k_rest_s = 6.0 * 3600.0;
constexpr double k_agree_k = 10.0; ///< the wide end of 5 to 10 K
constexpr double k_cold_c = 40.0;
/// Outside and intake air this close together: no heat under the bonnet from an earlier drive.
constexpr double k_no_heat_k = 3.0;

constexpr float k_no_thermostat_c = 70.0F;
constexpr double k_cold_frozen_s = 600.0;
constexpr double k_warm_frozen_s = 1200.0;
constexpr double k_fine_k = 0.5;

bool changed(const std::vector<float>& column, const FlatStretch& stretch, double by) {
  const auto range = range_within(column, stretch);
  return range && *range >= by;
}

/// The engine ran, and not evenly.
bool worked(const Blocks& blocks, const FlatStretch& stretch) {
  return changed(blocks.load, stretch, 40.0) || changed(blocks.speed, stretch, 40.0) ||
         changed(blocks.rpm, stretch, 1000.0);
}

} // namespace

std::optional<ColdSoak> cold_soak(const FirstReadings& first, const std::optional<double>& rest_s) {
  if (!first.coolant_c || !(first.ambient_c || first.intake_c)) return std::nullopt;
  const double coolant_c = *first.coolant_c;
  const double low_c = std::min(first.ambient_c.value_or(1e9), first.intake_c.value_or(1e9));
  const double high_c = std::max(first.ambient_c.value_or(-1e9), first.intake_c.value_or(-1e9));
  if (rest_s && *rest_s < k_rest_s) return std::nullopt;
  if (!rest_s && coolant_c > std::max(k_cold_c, high_c + k_agree_k)) return std::nullopt;

  ColdSoak soak{ColdSoak::Outcome::disagrees, coolant_c, first.ambient_c, first.intake_c, rest_s};
  const bool colder = high_c - coolant_c > k_agree_k; // a resting engine is never colder than air
  const bool warmer = coolant_c - low_c > k_agree_k;
  if (!colder && !warmer) {
    soak.outcome = ColdSoak::Outcome::agrees;
  } else if (!colder && !rest_s) {
    const bool no_heat = first.ambient_c && first.intake_c && high_c - low_c <= k_no_heat_k;
    if (!no_heat) soak.outcome = ColdSoak::Outcome::unclear;
  }
  return soak;
}

std::optional<FrozenReading> frozen_reading(const Trip& trip) {
  const Blocks& blocks = trip.blocks;
  const bool fine = trip.resolution_c < k_fine_k;
  std::optional<FrozenReading> longest;
  for_each_flat_stretch(blocks, [&](const FlatStretch& stretch) {
    if (longest && longest->length_s >= stretch.length_s) return;
    const float reading = blocks.coolant[stretch.first];
    const bool cold = reading < k_no_thermostat_c && stretch.length_s >= k_cold_frozen_s;
    const bool stiff = fine && stretch.length_s >= k_warm_frozen_s;
    if (!(cold || stiff) || !worked(blocks, stretch)) return;
    longest = FrozenReading{blocks.first_row[stretch.first], blocks.last_row[stretch.last],
                            stretch.length_s, static_cast<double>(reading)};
  });
  return longest;
}

} // namespace coolband
