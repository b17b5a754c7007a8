// SPDX-License-Identifier: Apache-2.0
// A trip's coolant over time as a small picture in text.
#pragma once

#include "coolband/report/report.hpp"

#include <string>
#include <vector>

namespace coolband {

/// Eight lines of picture, an axis and its labels, at most `width` wide (30 or more):
///
///     82 │       ▄▄▄▄▀▀▄▄▄▄
///     48 │   ▄▀▀▀▀
///     14 │▄▄▀
///     °C └──────────────────
///         0        10     20 min
///
/// Each column covers an even share of the time, from its lowest to its highest believed reading,
/// so a spike shows. Columns without a reading stay empty, unless the hole is no longer than three
/// usual steps between readings. An `x` above the axis marks readings that were not believed: their
/// values are not drawn. With `ascii`, plain characters are used. Empty when fewer than two
/// readings can be believed.
std::vector<std::string> sketch(const Recording& recording, const Trip& trip, int width,
                                bool ascii);

} // namespace coolband
