// SPDX-License-Identifier: Apache-2.0
// Whether what ran cold did so as a sound engine that idles, or stands, where the log does not
// tell.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "coolband/segment/trip.hpp"

namespace coolband {

/// No warm engine that stands switched off loses more, K/min (common practice, no source).
inline constexpr double k_fastest_stand_k_per_min = 1.6;

/// With its thermostat shut an engine that idles, or is pushed along downhill, is cooled by heater
/// and block alone: the reading falls once, slowly, and rises again when the engine is driven. With
/// the radiator in the circuit it falls fast, or follows the road down, up and down again. Looked
/// at since the reading was last at its level. Always false where load or road speed was logged,
/// which tell more.
bool may_have_idled(const Episode& episode, const Trip& trip);

/// Switched off, an engine cools without a pause for a quarter of an hour and more, as slowly as
/// its mass and the still air let it; before that its heat soaks into the coolant, and the reading
/// rises. From the highest reading of the stretch, or of what led into it, on. Where load or road
/// speed was logged: false, as above.
bool may_have_stood(const Episode& episode, const Trip& trip);

/// The engine came to its level in the second half of the stretch or after it, not before, and kept
/// it: a warm-up that was long on the way, as one that idles is. A valve that hangs open does not
/// let the engine stay there.
bool warmed_up_late(const Episode& episode, const Trip& trip, const NormalBand& band);

} // namespace coolband
