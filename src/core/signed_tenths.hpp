// SPDX-License-Identifier: Apache-2.0
// A difference for a person.
#pragma once

#include <string>

namespace coolband {

/// "+0.3", "-0.3" and "0.0": a difference with its sign, never a minus zero.
std::string signed_tenths(double value);

} // namespace coolband
