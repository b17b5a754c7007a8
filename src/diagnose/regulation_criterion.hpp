// SPDX-License-Identifier: Apache-2.0
// The regulation's own question about a thermostat: did the coolant get within 11 °C of nominal?
#pragma once

#include "coolband/diagnose/judgement.hpp"

namespace coolband {

/// 20 °F below the nominal regulating temperature, printed as 11 °C (13 CCR 1968.2 (e)(10): the
/// figure by maker service texts, the section from memory).
inline constexpr double k_criterion_k = 11.0;

/// Evaluates the criterion for one trip from its start until the limit was held for a minute, or to
/// its end. A condition of the monitor that is known to fail suspends the criterion; one that is
/// not known suspends only the finding "below". `found` is the verdict: a reading that is in doubt
/// cannot be held against a limit.
RegulationCheck regulation_criterion(const Trip& trip, const NormalBand& band,
                                     const std::optional<VehicleProfile>& profile, Condition found);

} // namespace coolband
