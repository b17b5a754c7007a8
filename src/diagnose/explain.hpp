// SPDX-License-Identifier: Apache-2.0
// Load, weather and stops that account for an episode without any fault.
#pragma once

#include "coolband/diagnose/judgement.hpp"

namespace coolband {

/// What accounts for `episode`, or Explanation::none.
Explanation explain(const Episode& episode, const Trip& trip, const NormalBand& band);

/// Share of the time within [from_s, to_s] at less than 5 km/h; none without road speed.
std::optional<double> idle_share(const Blocks& blocks, double from_s, double to_s);

} // namespace coolband
