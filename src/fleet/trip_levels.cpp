// SPDX-License-Identifier: Apache-2.0
// Robust levels with errors that count independent looks, not blocks.
#include "fleet/trip_levels.hpp"

#include "band/condition_walk.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "coolband/numeric/robust_fit.hpp"
#include "core/portable_math.hpp"
#include "numeric/autocorrelation.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace coolband {

namespace {

constexpr std::size_t k_least_blocks = 12;
/// A day of warm running tells its level; a log of months need not be held for it.
constexpr std::size_t k_most_blocks = 10'000;
constexpr double k_least_load_range_pct = 10.0;
/// A line over load is drawn out no further beyond the trip's own.
constexpr double k_farthest_pct = 15.0;
/// No steadier than readings can tell, K.
constexpr double k_least_scatter_k = 0.05;

std::vector<double> residuals_of(const WarmRunning& running, const RobustFit& fit,
                                 std::span<const double> column) {
  std::vector<double> residuals = running.deviation_k;
  for (std::size_t i = 0; i < residuals.size(); ++i)
    residuals[i] -= fit.coefficients[0] + (column.empty() ? 0.0 : fit.coefficients[1] * column[i]);
  return residuals;
}

/// By how much the error of a mean is larger than if all blocks were independent looks.
double error_factor(const std::vector<double>& residuals, double looks) {
  return std::sqrt(static_cast<double>(residuals.size()) / std::max(1.0, looks));
}

double scatter_of(const std::vector<double>& residuals) {
  constexpr double k_width_of_90_pct = 3.2897072539029444; // 2 Φ⁻¹(0.95)
  const double width = quantile(residuals, 0.95) - quantile(residuals, 0.05);
  return std::max({mad_sigma(residuals), width / k_width_of_90_pct, k_least_scatter_k});
}

Estimate intercept_of(const RobustFit& fit, double factor) {
  return {fit.coefficients[0], std::max(fit.standard_errors[0] * factor, 0.0)};
}

bool usable(const Result<RobustFit>& fit) { return fit && !std::isnan(fit->standard_errors[0]); }

} // namespace

WarmRunning warm_running(const Trip& trip, const NormalBand& band) {
  const Blocks& blocks = trip.blocks;
  const Predictor predictor(band);
  ConditionWalk walk(blocks);
  WarmRunning running;
  for (std::size_t i = 0; i < blocks.size() && running.deviation_k.size() < k_most_blocks; ++i) {
    walk.step();
    if (blocks.phase[i] != Phase::warm || std::isnan(blocks.coolant[i])) continue;
    const Conditions conditions = walk.conditions();
    running.deviation_k.push_back(static_cast<double>(blocks.coolant[i]) -
                                  predictor.at(conditions).centre_c);
    if (conditions.load_pct) running.load_pct.push_back(*conditions.load_pct);
    if (conditions.ambient_c) running.ambient_c.push_back(*conditions.ambient_c);
    running.length_s += blocks.end_s[i] - blocks.start_s[i] + trip.sample_period_s;
  }
  if (running.load_pct.size() != running.deviation_k.size()) running.load_pct.clear();
  return running;
}

std::optional<TripLevel> trip_level(const WarmRunning& running) {
  if (running.deviation_k.size() < k_least_blocks) return std::nullopt;
  const auto fit = fit_robust(running.deviation_k, {});
  if (!usable(fit)) return std::nullopt;
  const auto residuals = residuals_of(running, *fit, {});
  const double looks = effective_count(residuals);
  TripLevel level;
  level.level = intercept_of(*fit, error_factor(residuals, looks));
  level.scatter.value = portable_log(scatter_of(residuals));
  // Of a standard deviation from n independent looks.
  level.scatter.error = 1.0 / std::sqrt(2.0 * std::max(1.0, looks - 1.0));
  return level;
}

std::optional<Estimate> level_at_load(const WarmRunning& running, double load_pct) {
  if (running.load_pct.size() < k_least_blocks) return std::nullopt;
  const double low = quantile(running.load_pct, 0.05);
  const double high = quantile(running.load_pct, 0.95);
  if (high - low < k_least_load_range_pct || high + k_farthest_pct < load_pct) return std::nullopt;
  std::vector<std::vector<double>> columns{running.load_pct};
  for (double& load : columns[0]) load -= load_pct;
  const auto fit = fit_robust(running.deviation_k, columns);
  if (!usable(fit)) return std::nullopt;
  const auto residuals = residuals_of(running, *fit, columns[0]);
  return intercept_of(*fit, error_factor(residuals, effective_count(residuals)));
}

} // namespace coolband
