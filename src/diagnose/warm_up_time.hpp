// SPDX-License-Identifier: Apache-2.0
// How long an engine took to warm up, against how long it usually takes.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/segment/trip.hpp"

#include <optional>

namespace coolband {

/// Longer from 1.5 times the usual on, much longer from 2, very long from 2.5.
enum class WarmUpLength { usual, longer, much_longer, very_long };

struct WarmUpTime {
  double took_s = 0.0; ///< until regulation, or as long as the log shows it on the way there
  double usual_s = 0.0;
  bool reached = true;
  bool driven = false; ///< load or road speed is logged: the engine was at work

  /// Took beside usual.
  [[nodiscard]] double ratio() const { return took_s / usual_s; }
  [[nodiscard]] WarmUpLength length() const;
};

/// The slowest of the trip beside what is usual of its load and weather, as far as they are logged.
/// Nothing where that is not known, and of no warm-up that tells little of a thermostat: from deep
/// cold, with little left to rise, idling or standing for half of it, or cut short.
std::optional<WarmUpTime> slowest_warm_up(const Trip& trip, const NormalBand& band);

} // namespace coolband
