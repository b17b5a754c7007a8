// SPDX-License-Identifier: Apache-2.0
// A reading that stands still while the engine does not.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/segment/trip.hpp"

#include <optional>

namespace coolband {

/// The length in s of a stretch in which the block means do not move at all though they should:
/// at least twenty independent looks of this vehicle's regulation and 20 min, against a learned
/// band that has seen the reading move by more than rounding. Where road speed is known it must
/// have changed in the meantime, since on an even road a sound reading may stand. Nothing
/// otherwise.
std::optional<double> frozen_for_s(const Trip& trip, const NormalBand& band);

} // namespace coolband
