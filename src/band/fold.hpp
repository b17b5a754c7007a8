// SPDX-License-Identifier: Apache-2.0
// Keeps a band small: the oldest drives go into sums.
#pragma once

#include "coolband/band/normal_band.hpp"

namespace coolband {

/// Folds the oldest drives of `band` until `k_kept_drives` are left, and forgets the oldest of
/// those left out. Drives must be in order.
void fold_old_drives(NormalBand& band);

/// True when a drive of that start may be among the folded ones already.
bool may_be_folded(const NormalBand& band, const DriveSummary& drive);

/// Widens `all` so that it holds `one`.
void widen(std::optional<Range>& all, const std::optional<Range>& one);

} // namespace coolband
