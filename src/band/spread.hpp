// SPDX-License-Identifier: Apache-2.0
// How far normal running strays, and what is assumed of it before any drive is seen.
#pragma once

#include "band/effects.hpp"
#include "band/levels.hpp"
#include "coolband/band/normal_band.hpp"

#include <vector>

namespace coolband {

/// What is assumed of the spread between drives before any was seen: 1 K with the weight of two
/// drives (common practice, no source). It keeps the band of one or two drives honest and wide,
/// and is swamped by ten.
inline constexpr double k_prior_between_c = 1.0;
inline constexpr double k_prior_freedom = 2.0;
/// Within a drive a sound system holds a couple of degrees (common practice, no source).
inline constexpr double k_prior_within_c = 1.0;

/// Standard deviation, K, of the error that rounding to steps of `resolution_c` makes.
double quantisation_sigma(double resolution_c);

/// Levels less the centre: those of folded drives, and of `band.drives` in their order (the first
/// of them, where the level drifted later).
struct LevelResiduals {
  std::vector<LevelPoint> folded;
  std::vector<LevelPoint> drives;
};

/// Fills between_c, within_c, freedom, centre_error_c, correlation_s and half_width_c of `band`.
/// `explained` is the number of between-drive coefficients fitted besides the centre.
void add_spread(NormalBand& band, const Effects& effects, const LevelResiduals& residuals,
                std::size_t explained);

} // namespace coolband
