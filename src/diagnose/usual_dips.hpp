// SPDX-License-Identifier: Apache-2.0
// Which sudden dips of the reading are news: some vehicles' readings dip in normal running, too.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "segment/dips.hpp"

namespace coolband {

/// °C, below which the thermostat is certainly shut. A trip's own level may be that of a fault: it
/// tells nothing.
double shut_below_c(const NormalBand& band);

/// More warm dips in so much running than the normal drives' rate and its scatter bring once in a
/// hundred trips. Where no drives tell: any dip.
bool more_than_usual(const Dips& dips, const NormalBand& band);

} // namespace coolband
