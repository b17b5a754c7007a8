// SPDX-License-Identifier: Apache-2.0
// A band that corrects for load and weather, where a log has neither.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/segment/trip.hpp"

#include <optional>

namespace coolband {

/// The band as its drives would have taught it with no more columns than these blocks have, with a
/// note that says so; its circuit and traits stay. Nothing where it corrects for no condition that
/// they lack, or where what is left is no band.
std::optional<NormalBand> as_logged(const NormalBand& band, const Blocks& blocks);

} // namespace coolband
