// SPDX-License-Identifier: Apache-2.0
// Where a trip was off its level: slow or fast, at light or heavy load.
#pragma once

#include "coolband/segment/trip.hpp"
#include "diagnose/deviations.hpp"
#include "diagnose/evidence.hpp"

#include <optional>
#include <vector>

namespace coolband {

/// What ran too hot, did so at a standstill, under load, or everywhere; nothing where the log shows
/// no contrast.
void add_where_hot(std::vector<Evidence>& evidence, const Trip& trip, const Deviations& deviations);

/// Correlation of deviation and road speed over the judged blocks; nothing without enough of both.
std::optional<double> speed_correlation(const Trip& trip, const Deviations& deviations);

} // namespace coolband
