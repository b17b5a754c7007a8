// SPDX-License-Identifier: Apache-2.0
// A fault too small to be named in any one drive may show in all of them together: one that is
// still there is there in each, and what the drives say of it adds up.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/band/vehicle_profile.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "coolband/segment/trip.hpp"

#include <array>
#include <optional>

namespace coolband {

/// Natural logarithm of the evidence of one drive for each cause beyond that for the sound vehicle,
/// in the order of Condition.
using DriveTrace = std::array<double, k_cause_count>;

/// By the vehicle's own circuit, whether or not the drive looked odd; none where the band has no
/// circuit, or the log lacks what heats and cools the engine.
std::optional<DriveTrace> trace_of(const Trip& trip, const NormalBand& band,
                                   const std::optional<VehicleProfile>& profile);

struct Pace {
  double ratio = 1.0;
  double error =
      0.0; ///< standard error by what is not known of the vehicle, the same in each drive
};

/// How long a sound vehicle would have taken, in this weather and driving, from 50 °C to where its
/// valve begins to open, over how long this one took: below 1 where a valve that should be shut
/// lets coolant by. None without such a warm-up.
std::optional<Pace> shut_pace_of(const Trip& trip, const NormalBand& band,
                                 const std::optional<VehicleProfile>& profile);

} // namespace coolband
