// SPDX-License-Identifier: Apache-2.0
// What a band says of itself to a person, and why there is none.
#pragma once

#include "coolband/band/normal_band.hpp"

namespace coolband {

/// Fills band.notes: what it rests on too thinly, what it could not know, what looks odd.
void add_notes(NormalBand& band, const std::optional<VehicleProfile>& profile);

Error no_drive();
Error no_drive_since(const std::string& since);
Error contradiction(const NormalBand& band);
Error too_wide(const NormalBand& band);
Error too_cold(const NormalBand& band);

} // namespace coolband
