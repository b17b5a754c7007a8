// SPDX-License-Identifier: Apache-2.0
// Levels of drives at the reference conditions, and what outside temperature does to them.
#include "band/levels.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "coolband/numeric/robust_fit.hpp"
#include "numeric/mm_fit.hpp"
#include "numeric/repeated_median.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace coolband {

namespace {

/// A regulating vehicle hardly follows the outside air; a slope of 1 would mean that it does not
/// regulate at all, K per K.
constexpr Range k_ambient_slope_bounds{-0.10, 0.50};
/// Levels that agree better than this may agree by rounding, K.
constexpr double k_least_level_spread_c = 0.1;
/// Two drives tell a slope only when they were this far apart in outside temperature.
constexpr double k_least_ambient_step_c = 3.0;

double bounded(double slope) {
  return std::clamp(slope, k_ambient_slope_bounds.low, k_ambient_slope_bounds.high);
}

double reference_of(const LearnedEffect& effect, const NormalBand& band) {
  switch (effect.regressor.factor) {
  case Factor::speed: return band.speed ? band.speed->reference : 0.0;
  case Factor::idle: return band.idle ? band.idle->reference : 0.0;
  case Factor::climb: return band.climb ? band.climb->reference : 0.0;
  default: return band.reference_load_pct.value_or(0.0);
  }
}

double level_at_reference(const Moments& moments, const Effects& effects, const NormalBand& band) {
  double level = mean_of(moments, Factor::coolant);
  for (const LearnedEffect& effect : effects.all()) {
    if (!has(moments, effect.regressor)) continue;
    level -= effect.slope * (mean_of(moments, effect.regressor) - reference_of(effect, band));
  }
  return level;
}

/// The level as a weighted sum of a drive's factors, without its constant part.
std::vector<double> level_weights(const Moments& moments, const Effects& effects) {
  std::vector<double> weights(moments.factors.size(), 0.0);
  const auto add = [&](Factor factor, double weight) {
    const auto found = std::find(moments.factors.begin(), moments.factors.end(), factor);
    weights[static_cast<std::size_t>(found - moments.factors.begin())] += weight;
  };
  add(Factor::coolant, 1.0);
  for (const LearnedEffect& effect : effects.all()) {
    if (!has(moments, effect.regressor)) continue;
    add(effect.regressor.factor, -effect.slope * (1.0 - effect.regressor.share_of_other));
    if (effect.regressor.share_of_other > 0.0)
      add(effect.regressor.other, -effect.slope * effect.regressor.share_of_other);
  }
  return weights;
}

void add_points(const FoldedDrives& sums, const Effects& effects, const NormalBand& band,
                std::vector<LevelPoint>& points) {
  const double level = level_at_reference(sums.between, effects, band);
  const auto weights = level_weights(sums.between, effects);
  double variance = 0.0;
  double with_ambient = 0.0;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    for (std::size_t j = 0; j < weights.size(); ++j)
      variance += weights[i] * weights[j] *
                  covariance_of(sums.between, sums.between.factors[i], sums.between.factors[j]);
    if (sums.ambient_mean_c) with_ambient += weights[i] * sums.ambient_covariance[i];
  }
  const double count = static_cast<double>(sums.count);
  const double spread = std::sqrt(std::max(0.0, variance));
  if (!sums.ambient_mean_c || sums.ambient_variance_k2 <= 0.0) {
    for (const double side : {-1.0, 1.0})
      points.push_back({level + side * spread, sums.ambient_mean_c, count / 2.0});
    return;
  }
  // Three points on a circle have unit covariance; the lower triangle of the root of theirs makes
  // it that of the drives.
  const double ambient_spread = std::sqrt(sums.ambient_variance_k2);
  const double along = with_ambient / ambient_spread;
  const double rest = std::sqrt(std::max(0.0, variance - along * along));
  constexpr double k_root_2 = 1.4142135623730951;
  constexpr double k_root_half_3 = 1.2247448713915890; // sqrt(2) sin 120°
  constexpr std::array<std::array<double, 2>, 3> k_circle{
      {{k_root_2, 0.0}, {-k_root_2 / 2.0, k_root_half_3}, {-k_root_2 / 2.0, -k_root_half_3}}};
  for (const auto& [first, second] : k_circle)
    points.push_back({level + along * first + rest * second,
                      *sums.ambient_mean_c + ambient_spread * first, count / 3.0});
}

struct Columns {
  std::vector<double> ambient;
  std::vector<double> level;
  std::vector<double> drives;
};

Columns with_ambient(const std::vector<LevelPoint>& points) {
  Columns columns;
  for (const LevelPoint& point : points) {
    if (!point.ambient_c) continue;
    columns.ambient.push_back(*point.ambient_c);
    columns.level.push_back(point.level_c);
    columns.drives.push_back(point.drives);
  }
  return columns;
}

bool all_single(const std::vector<LevelPoint>& points) {
  return std::all_of(points.begin(), points.end(),
                     [](const LevelPoint& point) { return point.drives == 1.0; });
}

double middle(std::vector<double> values, const std::vector<LevelPoint>& points) {
  if (all_single(points)) return median(std::move(values));
  std::vector<double> weights;
  weights.reserve(points.size());
  for (const LevelPoint& point : points) weights.push_back(point.drives);
  return weighted_median(values, weights);
}

} // namespace

std::vector<LevelPoint> level_points(const std::vector<DriveSummary>& drives,
                                     const Effects& effects, const NormalBand& band) {
  std::vector<LevelPoint> points;
  points.reserve(drives.size());
  for (const DriveSummary& drive : drives)
    points.push_back({level_at_reference(drive.moments, effects, band), drive.ambient_mean_c, 1.0});
  return points;
}

std::vector<LevelPoint> folded_points(const std::vector<FoldedDrives>& folded,
                                      const Effects& effects, const NormalBand& band) {
  std::vector<LevelPoint> points;
  for (const FoldedDrives& sums : folded) add_points(sums, effects, band, points);
  return points;
}

bool shows_ambient(const std::vector<LevelPoint>& points) {
  const Columns columns = with_ambient(points);
  double drives = 0.0;
  for (const double count : columns.drives) drives += count;
  if (columns.ambient.size() < 3 || drives < k_drives_for_ambient) return false;
  const auto [low, high] = std::minmax_element(columns.ambient.begin(), columns.ambient.end());
  return *high - *low >= k_ambient_span_c;
}

void remove_ambient(std::vector<LevelPoint>& points, const NormalBand& band) {
  if (!band.ambient_c_per_c || !band.reference_ambient_c) return;
  for (LevelPoint& point : points) {
    if (point.ambient_c)
      point.level_c -= *band.ambient_c_per_c * (*point.ambient_c - *band.reference_ambient_c);
  }
}

double total_drives(const std::vector<LevelPoint>& points) {
  double drives = 0.0;
  for (const LevelPoint& point : points) drives += point.drives;
  return drives;
}

double mean_level(const std::vector<LevelPoint>& points) {
  double sum = 0.0;
  for (const LevelPoint& point : points) sum += point.drives * point.level_c;
  return sum / total_drives(points);
}

double median_level(const std::vector<LevelPoint>& points) {
  std::vector<double> levels;
  levels.reserve(points.size());
  for (const LevelPoint& point : points) levels.push_back(point.level_c);
  return middle(std::move(levels), points);
}

double level_scatter(const std::vector<LevelPoint>& points) {
  const double centre = median_level(points);
  std::vector<double> distances;
  distances.reserve(points.size());
  for (const LevelPoint& point : points) distances.push_back(std::abs(point.level_c - centre));
  return middle(std::move(distances), points) * k_mad_to_sigma;
}

std::optional<AmbientSlope> fit_ambient(const std::vector<LevelPoint>& points) {
  if (!shows_ambient(points)) return std::nullopt;
  const Columns columns = with_ambient(points);
  const std::vector<std::vector<double>> regressors{columns.ambient};
  MmFitOptions options;
  options.least_scale = k_least_level_spread_c;
  // The few points that stand for folded drives are no majority to start an S-estimate from, and
  // were found sound before.
  const auto fit = all_single(points) ? fit_mm(columns.level, regressors, options)
                                      : fit_robust(columns.level, regressors, {}, columns.drives);
  if (!fit) return std::nullopt;
  const double error = std::isnan(fit->standard_errors[1]) ? 0.0 : fit->standard_errors[1];
  return AmbientSlope{bounded(fit->coefficients[1]), error};
}

std::optional<double> robust_ambient(const std::vector<LevelPoint>& points) {
  if (!shows_ambient(points)) return std::nullopt;
  const Columns columns = with_ambient(points);
  double single = 0.0;
  double folded = 0.0;
  for (const double count : columns.drives) (count == 1.0 ? single : folded) += count;
  // Folded drives were found sound before: where they are many, nobody outvotes them.
  if (folded > single) {
    const auto fit = fit_ambient(points);
    return fit ? std::optional(fit->slope) : std::nullopt;
  }
  const double slope =
      repeated_median_slope(columns.ambient, columns.level, k_least_ambient_step_c);
  if (std::isnan(slope)) return std::nullopt;
  return bounded(slope);
}

} // namespace coolband
