// SPDX-License-Identifier: Apache-2.0
// Like vehicles beside each other: an odd one out is evidence where no healthy log exists, since a
// band learned from a faulty vehicle holds its fault for normal.
#pragma once

#include "coolband/band/vehicle_profile.hpp"
#include "fleet/trends.hpp"
#include "fleet/trip_measures.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coolband {

/// Vehicles of the same non-empty text are like: the profile's "group", else its engine, thermostat
/// and cooling together. Empty where the profile has neither a group, nor an engine, nor a
/// thermostat.
std::string sibling_group(const VehicleProfile& profile);

/// In what like vehicles are compared: the measures of trips, and one that a thermostat's own
/// tolerance does not blur.
enum class Likeness : std::uint8_t {
  level,
  level_at_load,
  spread,
  opening,
  warm_up,
  hottest_idle,
  rise_at_load, ///< K, level at load above the opening: how much of the cooling is used
};
inline constexpr std::size_t k_likenesses = k_measures + 1;
/// As the measures, and "rise-at-load".
std::string_view name_of(Likeness likeness);
std::string_view unit_of(Likeness likeness);

/// Where a vehicle lies of late, at the common conditions.
struct SiblingLevels {
  std::string vehicle;
  std::string group;
  std::array<std::optional<double>, k_likenesses> levels; ///< medians; none with too few trips
};
/// From the latest trips that count.
SiblingLevels sibling_levels(std::string vehicle, std::string group,
                             std::span<const TripMeasures> trips);
inline constexpr std::size_t k_sibling_trips = 30;
inline constexpr std::size_t k_least_sibling_trips = 5;
/// A group takes so many vehicles.
inline constexpr std::size_t k_least_siblings = 4;

/// A vehicle beside the others of its group.
struct SiblingDistance {
  Likeness likeness = Likeness::level;
  std::size_t others = 0;
  double usual = 0.0;    ///< median of the others
  double distance = 0.0; ///< beyond it
  double spread = 0.0;   ///< s.d. from vehicle to vehicle, what is usual counted in
  double p = 1.0;        ///< two-sided; 1 where the distance is within what parts may differ by
};

struct AmongSiblings {
  std::vector<SiblingDistance> distances; ///< of what could be compared
  /// Chance that a vehicle like the others lies so far off (Bonferroni over the distances); NaN
  /// where nothing could be compared.
  double p = std::numeric_limits<double>::quiet_NaN();
};
/// One a vehicle, in the same order. The result does not depend on the order.
std::vector<AmongSiblings> among_siblings(std::span<const SiblingLevels> vehicles);

/// Which of them to believe: Benjamini & Hochberg. One that lies high makes the others lie a little
/// low, which that was not made for; by simulation it holds (tests).
FleetFinding odd_siblings(std::span<const AmongSiblings> vehicles,
                          double false_share = k_false_share);

/// The distances of a found vehicle to believe, the surest first.
std::vector<SiblingDistance> believed(const AmongSiblings& vehicle, double level);

/// "the level at load lies 6.2 K above that of 7 like vehicles (94.1 °C)"
std::string words_of(const SiblingDistance& distance);

} // namespace coolband
