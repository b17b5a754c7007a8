// SPDX-License-Identifier: Apache-2.0
// Which drives are not normal, so that nothing is learned from them.
#pragma once

#include "coolband/band/normal_band.hpp"

namespace coolband {

/// A slope on load (lag 60 s) that half of the drives cannot drag: the weighted median of theirs.
std::optional<double> robust_load_slope(const NormalBand& band);

/// Moves abnormal drives from band.drives to band.left_out, with the reason. Uses slopes that half
/// of the drives cannot drag, so that a faulty drive on a frosty day does not pass for weather.
/// Needs the reference conditions.
void leave_out_abnormal(NormalBand& band);

} // namespace coolband
