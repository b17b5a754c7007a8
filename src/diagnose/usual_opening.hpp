// SPDX-License-Identifier: Apache-2.0
// Where the thermostat first opened, against where it usually does.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/segment/trip.hpp"

namespace coolband {

/// The rise bends so far above the stamped start of opening (docs/methods.md, "Traits of a trip":
/// +2.4 K, 0.5 to 4.2, in 90 of 100 drives), K; and the rating itself is true to 3 K (TM
/// 5-3825-229-14&P).
inline constexpr double k_bend_above_rating_k = 2.4;
inline constexpr double k_bend_scatter_k = 1.9;

/// Usual: within a new thermostat's tolerance. Off by more, and by more than drives of a sound
/// vehicle differ by; far off from 5 K on. Unseen: not told, or neither usual nor surely off.
enum class Opening { unseen, far_below, below, usual, above, far_above };

struct SeenOpening {
  Opening kind = Opening::unseen;
  double opened_c = 0.0; ///< °C, as the rise bent
  double off_k = 0.0;    ///< above the usual
};

/// Of the first warm-up that shows it, against the learned drives or else the stamped rating;
/// unseen, too, where neither is known, or where the band's reading is restless.
SeenOpening seen_opening(const Trip& trip, const NormalBand& band);

} // namespace coolband
