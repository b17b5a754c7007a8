// SPDX-License-Identifier: Apache-2.0
// What a whole trip tells of its sensors: frozen readings, and the reading of a cold engine.
#pragma once

#include "coolband/segment/trip.hpp"

#include <optional>

namespace coolband {

/// The first believable readings within a minute of a trip's start.
struct FirstReadings {
  std::optional<double> coolant_c;
  std::optional<double> ambient_c;
  std::optional<double> intake_c;
};

/// Compares where it can be compared: after a rest of 6 h or more, or, when nothing tells of the
/// rest, where the coolant starts in the cold range (up to 40 °C, or 10 K above the air).
std::optional<ColdSoak> cold_soak(const FirstReadings& first, const std::optional<double>& rest_s);

/// The longest stretch in which the reading stands still though a running engine must move it:
/// below 70 °C, where no thermostat regulates, 10 min; anywhere, when the reading is finer than
/// 0.5 K, 20 min. In the meantime load must have changed by 40 points, road speed by 40 km/h or
/// engine speed by 1000 rpm. Whole degrees on a warm engine are no sign: a sound thermostat holds
/// one for a long time. The figures are common practice, no source.
std::optional<FrozenReading> frozen_reading(const Trip& trip);

} // namespace coolband
