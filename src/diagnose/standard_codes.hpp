// SPDX-License-Identifier: Apache-2.0
// Trouble codes of SAE J2012 that correspond to a finding.
#pragma once

#include "coolband/diagnose/judgement.hpp"

namespace coolband {

/// Needs the verdict, the regulation check and the sensor events; titles follow SAE J2012.
std::vector<StandardCode> standard_codes(const Judgement& judgement, const Trip& trip);

} // namespace coolband
