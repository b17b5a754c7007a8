// SPDX-License-Identifier: Apache-2.0
// A reading that stands still while the engine does not.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/segment/trip.hpp"
#include "diagnose/sound_course.hpp"
#include "segment/flat_stretch.hpp"

#include <optional>

namespace coolband {

/// The longest stretch in which the reading stood still although it should have moved: by what a
/// sound vehicle would have read meanwhile where `sound` knows it; else where a learned band says
/// that readings of this vehicle move, and road speed does or, where it is not known, the engine
/// is warm.
std::optional<FlatStretch> frozen_stretch(const Trip& trip, const NormalBand& band,
                                          const std::optional<SoundCourse>& sound = std::nullopt);

/// Long enough that it may be one: worth a look at what a sound vehicle would have read.
bool may_be_frozen(const Trip& trip);

} // namespace coolband
