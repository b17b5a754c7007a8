// SPDX-License-Identifier: Apache-2.0
// A log whose newest row stands first, turned so that time runs forward.
#pragma once

#include "coolband/import/recording.hpp"

namespace coolband {

/// Turns the rows of a recording that was read with negative clock times; the first row is then the
/// last one of the input. The places of the rows in the input stay true.
void turn_round(Recording& recording);

} // namespace coolband
