// SPDX-License-Identifier: Apache-2.0
// When a drive began, for telling which of two came first, whatever clocks their logs have.
#pragma once

#include "coolband/core/timestamp.hpp"

#include <optional>

namespace coolband {

struct Moment {
  double time_s = 0.0;   ///< since 1970-01-01 00:00, of UTC or of an unknown local time
  bool absolute = false; ///< of UTC
};

/// `seconds` after the start of a log; none where its clock has no date.
std::optional<Moment> moment_at(const Clock& clock, double seconds);

/// Surely earlier: a local time is within 14 h of UTC.
bool is_earlier(const Moment& one, const Moment& other);

} // namespace coolband
