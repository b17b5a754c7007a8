// SPDX-License-Identifier: Apache-2.0
// Where the thermostat first opened, against where it usually does.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/segment/trip.hpp"

namespace coolband {

/// Usual: within a new thermostat's tolerance. Off by more, and by more than drives of a sound
/// vehicle differ by; far off from 5 K on. Unseen: not told, or neither usual nor surely off.
enum class Opening { unseen, far_below, below, usual, above, far_above };

struct SeenOpening {
  Opening kind = Opening::unseen;
  double opened_c = 0.0; ///< °C, as the rise bent
  double off_k = 0.0;    ///< above the usual
};

/// Of the first warm-up that shows it, against the learned drives or else the stamped rating;
/// unseen, too, where neither is known.
SeenOpening seen_opening(const Trip& trip, const NormalBand& band);

} // namespace coolband
