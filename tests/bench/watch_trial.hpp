// SPDX-License-Identifier: Apache-2.0
// One simulated vehicle watched while it is driven: what was said, when, and when it was true.
#pragma once

#include "accuracy/drives.hpp"
#include "accuracy/judged.hpp"
#include "watch.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coolband::bench {

struct Said {
  double at_s = 0.0; ///< of the drive
  Standing standing;
  bool by_alarm = false;
};

struct WatchedDrive {
  std::string id;
  bool sound = true;
  double hours = 0.0;
  double took_s = 0.0; ///< of a processor
  std::vector<Said> said;
  /// When a fault's reading first began to lie 5 K off the sound drive's for 5 minutes.
  std::optional<double> visible_s;
  /// When the coolant that leaves the engine had spent nine tenths of the way to boiling.
  std::optional<double> nearly_boils_s;
  std::size_t trips = 0;
  std::size_t other_verdicts = 0; ///< trips that ended with another condition than `analyse` gives
  double confidence_off = 0.0;    ///< largest difference to it
};

struct WatchTrial {
  std::uint64_t seed = 1;
  std::vector<FaultKind> faults;
  std::vector<FaultKind> severe; ///< at the greatest severity, in drives that strain the cooling
  bool sound_too = true;
};

/// Learns vehicle `number` of the accuracy bench's population and watches its drives.
std::vector<WatchedDrive> watch_vehicle(const WatchTrial& trial, std::size_t number);

} // namespace coolband::bench
