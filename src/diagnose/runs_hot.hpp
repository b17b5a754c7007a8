// SPDX-License-Identifier: Apache-2.0
// Too hot, whatever the cause.
#pragma once

#include "coolband/diagnose/judgement.hpp"

#include <vector>

namespace coolband {

/// Blocks of warm running so far above the vehicle's level, for minutes together, that the
/// thermostat must be wide open and regulates no more: whatever load and weather, all that is left
/// of the cooling is the margin to boiling. Empty where the vehicle's level is not known.
std::vector<bool> beyond_regulation(const Trip& trip, const NormalBand& band);

/// Nearly all that the readings leave probable makes an engine run hot.
bool hot_for_any_cause(const std::vector<Cause>& causes);

} // namespace coolband
