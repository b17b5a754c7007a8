// SPDX-License-Identifier: Apache-2.0
// A band that corrects for load and weather, where a log has neither.
#pragma once

#include "band/withhold.hpp"
#include "coolband/band/normal_band.hpp"
#include "coolband/segment/trip.hpp"

#include <optional>

namespace coolband {

/// Conditions that no column of these blocks tells.
Withheld not_logged(const Blocks& blocks);

/// The band as its drives would have taught it without these columns, with a note that says so; its
/// circuit and traits stay. Nothing where it corrects for none of them, or where what is left is no
/// band.
std::optional<NormalBand> band_without(const NormalBand& band, const Withheld& withheld);

} // namespace coolband
