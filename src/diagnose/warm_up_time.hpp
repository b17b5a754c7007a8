// SPDX-License-Identifier: Apache-2.0
// How long an engine took to warm up, against how long it usually takes.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "coolband/segment/trip.hpp"

#include <optional>

namespace coolband {

/// Longer from 1.5 times the usual on, much longer from 2, very long from 2.5.
enum class WarmUpLength { usual, longer, much_longer, very_long };

struct WarmUpTime {
  double took_s = 0.0; ///< until regulation, or as long as the log shows it on the way there
  double usual_s = 0.0;
  bool reached = true;
  /// The engine was at work: load or road speed is logged, or the course of the reading shows it.
  bool driven = false;
  /// By that course, where neither column is logged: the part in which it worked, and how long is
  /// usual for so much of the rise.
  struct Worked {
    double took_s = 0.0;
    double usual_s = 0.0;
  };
  std::optional<Worked> worked = std::nullopt;
  /// Too few drives made the usual time to say how far it strays: longer is all that can be said.
  bool hardly_known = false;

  /// Took beside usual, of the part in which it worked where that is known.
  [[nodiscard]] double ratio() const {
    return worked ? worked->took_s / worked->usual_s : took_s / usual_s;
  }
  [[nodiscard]] WarmUpLength length() const;
};

/// The slowest of the trip beside what is usual of its load and weather, as far as they are logged.
/// Nothing where that is not known, and of no warm-up that tells little of a thermostat: from deep
/// cold or far colder than the drives began, with little left to rise, idling or standing for half
/// of it, or cut short.
std::optional<WarmUpTime> slowest_warm_up(const Trip& trip, const NormalBand& band);

/// On the way to its level, where neither load nor road speed is logged, the engine worked and yet
/// took twice as long as usual: what was low on that way was not idling.
bool slow_though_at_work(const Episode& episode, const Trip& trip, const NormalBand& band);

} // namespace coolband
