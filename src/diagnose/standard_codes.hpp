// SPDX-License-Identifier: Apache-2.0
// Trouble codes of SAE J2012 and SAE J1939-73 that correspond to a finding.
#pragma once

#include "coolband/diagnose/judgement.hpp"

namespace coolband {

/// Needs the verdict, the regulation's criterion and the sensor events. Titles follow public lists
/// of SAE J2012 and of SAE J1939's parameters and failure modes; which code goes with which finding
/// is an engineering reading, no source (docs/methods.md has the table). A code of SAE J2012 stands
/// before that of SAE J1939 which says the same.
std::vector<StandardCode> standard_codes(const Judgement& judgement, const Trip& trip,
                                         const Recording& recording);

} // namespace coolband
