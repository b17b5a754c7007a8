// SPDX-License-Identifier: Apache-2.0
// Stretches in which the engine gives too little heat to hold its level.
#pragma once

#include "coolband/segment/trip.hpp"

namespace coolband {

/// Turns warm blocks below `level_c` into Phase::cool_down while the engine is pushed along (lagged
/// load below 10 %, or a descent of 30 m/min where load is not logged), and after that until the
/// reading is back or 5 min have gone. A sound thermostat is shut then; that the reading falls says
/// nothing of it. The figures are common practice, no source.
void mark_cool_downs(Blocks& blocks, double level_c);

} // namespace coolband
