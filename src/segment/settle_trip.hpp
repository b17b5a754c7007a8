// SPDX-License-Identifier: Apache-2.0
// What of a trip depends on where its vehicle regulates: phases, warm-ups, the lag of the load.
#pragma once

#include "coolband/segment/trip.hpp"

namespace coolband {

/// `trip` as `find_trips` would have found it with `options`, of which only `regulating_c` and
/// `load_lag_s` may differ from those that it was measured with.
void settle_trip(Trip& trip, const SegmentOptions& options);

} // namespace coolband
