// SPDX-License-Identifier: Apache-2.0
// Trends and odd siblings in words for a person. Pure functions to strings.
#pragma once

#include "fleet/trends.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// "°C", "ln K", "ln min": of a measure's value.
std::string_view unit_of(Measure measure);
/// "the level at load"
std::string_view subject_of(Measure measure);

/// What several measures together usually mean (common practice, no source).
enum class TrendPattern : std::uint8_t {
  none,
  cooling_weaker,   ///< more where more heat is to be got rid of: radiator, flow
  fan_weaker,       ///< hotter at idle, not on the road
  opens_later,      ///< the thermostat
  regulates_looser, ///< the same level, more spread: a lazier thermostat, air
  runs_colder,      ///< a thermostat that no longer shuts
  runs_warmer,      ///< everywhere alike
  steadier,         ///< nothing that a fault does
};
TrendPattern pattern_of(const VehicleTrend& trend, const std::vector<Measure>& believed_measures);

/// "the level at load has crept up 2.1 K (±0.3) over 90 days (64 trips), since 2031-03-04"
std::string words_of(const MeasureTrend& trend);
/// What it usually is, and what to do about it; empty for none.
std::string words_of(TrendPattern pattern);

/// A sentence for each believed measure, then one for what they mean; empty when none is.
std::vector<std::string> trend_words(const VehicleTrend& trend,
                                     const std::vector<Measure>& believed_measures);

/// Why a vehicle has no trend, for those that have none ("7 trips; a trend needs 12"); else empty.
std::string lack_words(const VehicleTrend& trend);

} // namespace coolband
