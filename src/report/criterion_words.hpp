// SPDX-License-Identifier: Apache-2.0
// The regulation's criterion on a line of its own.
#pragma once

#include "coolband/diagnose/judgement.hpp"

#include <string>

namespace coolband {

/// "warm enough by the rule for on-board diagnosis: held 74.0 °C, at least 65.0 °C is needed (11
/// °C below the rating of 76.0 °C)"
std::string criterion_words(const RegulationCheck& check);

} // namespace coolband
