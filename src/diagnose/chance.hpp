// SPDX-License-Identifier: Apache-2.0
// Whether normal running alone leaves the band so far, for so long and so often.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/diagnose/judgement.hpp"
#include "diagnose/deviations.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace coolband {

/// A band holds 95 % of normal running: normal running leaves it now and then. Dropped are the
/// episodes that nothing explains and of which sound drives have the like more than once in 100 h
/// of warm running, one by one and, in this trip, several together. Drives differ by `between_c`;
/// within one, the mean over n independent looks strays by `within_c`/√n. Of a learned band only:
/// no other knows how far normal running strays.
/// Returns how many were.
std::size_t drop_chance(std::vector<Episode>& episodes, const NormalBand& band,
                        const Deviations& deviations);
/// What is not known of so many, in words.
std::string chance_words(std::size_t dropped);

} // namespace coolband
