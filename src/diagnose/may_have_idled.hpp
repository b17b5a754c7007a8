// SPDX-License-Identifier: Apache-2.0
// Whether what ran cold did so as a sound engine that idles, where the log does not tell.
#pragma once

#include "coolband/diagnose/judgement.hpp"
#include "coolband/segment/trip.hpp"

namespace coolband {

/// With its thermostat shut an engine that idles, or is pushed along downhill, is cooled by heater
/// and block alone: the reading falls once, slowly, and rises again when the engine is driven. With
/// the radiator in the circuit it falls fast, or follows the road down, up and down again. Looked
/// at since the reading was last at its level. Always false where load or road speed was logged,
/// which tell more.
bool may_have_idled(const Episode& episode, const Trip& trip);

} // namespace coolband
