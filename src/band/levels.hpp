// SPDX-License-Identifier: Apache-2.0
// The drives as points: the level of each at the reference conditions, over outside temperature.
#pragma once

#include "band/effects.hpp"
#include "coolband/band/normal_band.hpp"

#include <optional>
#include <vector>

namespace coolband {

/// A drive, or a share of folded ones.
struct LevelPoint {
  double level_c = 0.0; ///< at the reference load, speed, ...
  std::optional<double> ambient_c;
  double drives = 1.0; ///< how many this point stands for
};

/// One point a drive, in the same order.
std::vector<LevelPoint> level_points(const std::vector<DriveSummary>& drives,
                                     const Effects& effects, const NormalBand& band);
/// Two or three points for each lot of folded drives, with the same number, means and covariances.
std::vector<LevelPoint> folded_points(const std::vector<FoldedDrives>& folded,
                                      const Effects& effects, const NormalBand& band);

/// Enough drives over enough outside temperature to tell a slope from.
bool shows_ambient(const std::vector<LevelPoint>& points);

/// Takes the ambient effect off the levels.
void remove_ambient(std::vector<LevelPoint>& points, const NormalBand& band);

double total_drives(const std::vector<LevelPoint>& points);
/// Mean over drives; needs some.
double mean_level(const std::vector<LevelPoint>& points);

/// Median that counts each point as often as it stands for drives; NaN without points.
double median_level(const std::vector<LevelPoint>& points);
/// MAD about it, as a standard deviation.
double level_scatter(const std::vector<LevelPoint>& points);

/// Slope on ambient with its error, bounded; none when the drives do not show one.
struct AmbientSlope {
  double slope = 0.0;
  double error = 0.0;
};
std::optional<AmbientSlope> fit_ambient(const std::vector<LevelPoint>& points);
/// The same by a method that half of the drives cannot drag.
std::optional<double> robust_ambient(const std::vector<LevelPoint>& points);

/// How many drives an ambient effect takes, and over how much outside temperature, K.
inline constexpr double k_drives_for_ambient = 5.0;
inline constexpr double k_ambient_span_c = 10.0;

} // namespace coolband
