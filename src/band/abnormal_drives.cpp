// SPDX-License-Identifier: Apache-2.0
// A drive is abnormal by its level or by its scatter, each against the other drives.
#include "band/abnormal_drives.hpp"

#include "band/levels.hpp"
#include "coolband/numeric/order_statistics.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Slopes differ between drives beyond their errors (other gears, other winds), K per %.
constexpr double k_slope_spread = 0.02;
/// A drive is abnormal beyond 3 robust sigmas of the drives' levels, but never within the
/// thermostat's own tolerance of 3 K and always beyond 5 K (outside its opening range).
constexpr Range k_level_tolerance_c{3.0, 5.0};
/// Where the drives' weather is not known, it moves their levels, too: by up to this (35 K of it,
/// at 0.1 to 0.2 K per K; common practice, no source).
constexpr double k_weather_tolerance_c = 8.0;
constexpr double k_swing_c = 3.0;

Effects load_only(std::optional<double> slope) {
  Effects effects;
  if (slope) effects.load = LearnedEffect{{Factor::load_60s, Factor::load_60s, 0.0}, *slope, 0.0};
  return effects;
}

/// A drive's scatter about the load slope that all share.
double scatter_about(const DriveSummary& drive, const Effects& effects) {
  return std::sqrt(variance_about(drive, effects));
}

} // namespace

std::optional<double> robust_load_slope(const NormalBand& band) {
  std::vector<double> slopes;
  std::vector<double> weights;
  const auto add = [&](const Moments& moments, double scatter_k2, double looks, double drives) {
    const auto slope = own_load_slope(moments);
    if (!slope) return;
    const double load = covariance_of(moments, Factor::load_60s, Factor::load_60s);
    const double error_2 = scatter_k2 / (load * looks / drives);
    slopes.push_back(*slope);
    weights.push_back(drives / (error_2 + k_slope_spread * k_slope_spread));
  };
  for (const DriveSummary& drive : band.drives)
    add(drive.moments, drive.scatter_c * drive.scatter_c, drive.effective_count, 1.0);
  for (const FoldedDrives& sums : band.folded)
    add(sums.within, sums.scatter_k2, sums.looks, static_cast<double>(sums.count));
  if (slopes.empty()) return std::nullopt;
  return std::clamp(weighted_median(slopes, weights), k_load_slope_bounds.low,
                    k_load_slope_bounds.high);
}

void leave_out_abnormal(NormalBand& band) {
  const Effects effects = load_only(robust_load_slope(band));
  auto points = level_points(band.drives, effects, band);
  auto all = folded_points(band.folded, effects, band);
  all.insert(all.end(), points.begin(), points.end());
  NormalBand robust = band;
  robust.ambient_c_per_c = robust_ambient(all);
  remove_ambient(points, robust);
  remove_ambient(all, robust);
  const double centre = median_level(all);
  const double most_c = robust.ambient_c_per_c ? k_level_tolerance_c.high : k_weather_tolerance_c;
  const double tolerance = std::clamp(3.0 * level_scatter(all), k_level_tolerance_c.low, most_c);
  std::vector<double> scatters;
  for (const DriveSummary& drive : band.drives) scatters.push_back(scatter_about(drive, effects));
  const double swing = std::max(k_swing_c, 3.0 * median(scatters));
  std::vector<DriveSummary> sound;
  for (std::size_t i = 0; i < points.size(); ++i) {
    DriveSummary& drive = band.drives[i];
    if (std::abs(points[i].level_c - centre) > tolerance) {
      band.left_out.push_back(
          {drive, fmt::format("ran at {:.1f} °C where the other drives run at {:.1f} °C",
                              points[i].level_c, centre)});
    } else if (scatters[i] > swing) {
      band.left_out.push_back(
          {drive, fmt::format("swings by {:.1f} K (1 s.d.) about its own level", scatters[i])});
    } else {
      sound.push_back(std::move(drive));
    }
  }
  band.drives = std::move(sound);
}

} // namespace coolband
