// SPDX-License-Identifier: Apache-2.0
// The summary of a drive whose trip is not needed afterwards.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/core/result.hpp"
#include "coolband/segment/trip.hpp"

#include <string>

namespace coolband {

/// As `summarise_drive`. The trip's blocks are gone afterwards: they make room, as soon as nothing
/// more is taken from them, for the fit, which takes as much.
Result<DriveSummary> summarise_and_drop(Trip& trip, const std::string& source,
                                        const std::string& start, const LearnOptions& options);

} // namespace coolband
