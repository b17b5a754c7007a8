// SPDX-License-Identifier: Apache-2.0
// Whether an engine was at work while it warmed up, by the course of the reading alone.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/segment/trip.hpp"

namespace coolband {

/// What of a stretch an engine was at work in.
struct AtWork {
  double seconds = 0.0;
  double rise_k = 0.0; ///< by which the reading rose in them; may be negative
};

/// An engine that idles makes the same heat from minute to minute, so its reading follows a slow
/// straight line for minutes on end; one that drives is worked now more, now less. Minutes that
/// follow such a line, that rows too far apart or too coarse a step leave untold, or that are
/// missing are not counted: nothing shows that the engine worked in them. Nor are those in which a
/// sound thermostat may open, and regulate at idle too.
AtWork at_work(const Trip& trip, const NormalBand& band, double from_s, double to_s);

} // namespace coolband
