// SPDX-License-Identifier: Apache-2.0
// When a drive began.
#include "repair/moment.hpp"

namespace coolband {

std::optional<Moment> moment_at(const Clock& clock, double seconds) {
  if (clock.kind != ClockKind::date_time && clock.kind != ClockKind::absolute) return std::nullopt;
  return Moment{clock.start_s + seconds, clock.kind == ClockKind::absolute};
}

bool is_earlier(const Moment& one, const Moment& other) {
  constexpr double k_farthest_zone_s = 14.0 * 3600.0;
  const double unsure_s = one.absolute == other.absolute ? 0.0 : k_farthest_zone_s;
  return one.time_s + unsure_s < other.time_s;
}

} // namespace coolband
