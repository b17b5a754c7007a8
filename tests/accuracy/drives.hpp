// SPDX-License-Identifier: Apache-2.0
// What the owners of the bench's vehicles do with them: drives to learn from, healthy drives of
// every kind, and drives with one fault.
#pragma once

#include "accuracy/population.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace coolband::accuracy {

inline constexpr std::size_t k_learning_drives = 12;

enum class Outing : std::uint8_t {
  ordinary,
  brief,
  trailer_climb,
  sand,
  deep_cold,
  heat,
  long_idle,
  restart,
  altitude,
  // where faults tell
  hot_crawl,   ///< standing and crawling in warm air: fans
  hot_climb,   ///< sustained load in warm air: radiator, pump
  high_climb,  ///< the same high up, where coolant boils early: cap
  limit_climb, ///< all that the vehicle was made for: flow
  cool_road,   ///< fast in cool air: a valve that does not shut
  changing,    ///< load that comes and goes: a valve that is slow
};
/// The first so many are what a sound vehicle is tried with.
inline constexpr std::size_t k_healthy_outings = 9;
std::string_view name_of(Outing outing);

/// Number 0 to `k_learning_drives` - 1; the last is a laden climb, the one before has a long idle.
Scenario learning_drive(const DrawnVehicle& vehicle, std::size_t number, Random& random);

Scenario healthy_drive(const DrawnVehicle& vehicle, Outing outing, Random& random);

struct FaultyDrive {
  Outing outing = Outing::ordinary;
  Scenario scenario; ///< with one fault plan
};

/// One fault at a random severity of 0.5 to 1.6; in a third of the drives in spells or beginning
/// under way. Not `telling`: two in five drives are ordinary ones; `telling`: none.
FaultyDrive faulty_drive(const DrawnVehicle& vehicle, FaultKind kind, bool telling, Random& random);

} // namespace coolband::accuracy
