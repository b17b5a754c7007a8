// SPDX-License-Identifier: Apache-2.0
// How a trip runs once it is warm, besides its level.
#include "segment/regulation.hpp"

#include "coolband/numeric/order_statistics.hpp"
#include "numeric/autocorrelation.hpp"
#include "segment/blocks.hpp"
#include "segment/dips.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <span>

namespace coolband {

namespace {

/// Slower than the longest period looked for, the level wanders with load; it is taken off by a
/// mean over twice that period.
constexpr double k_longest_period_s = 600.0;
constexpr double k_wander_s = 2.0 * k_longest_period_s;
constexpr std::size_t k_shortest_lag = 4;  ///< blocks in a period
constexpr std::size_t k_longest_lag = 120; ///< bounds the cost where blocks are short
constexpr double k_least_periods = 3.0;
/// A period repeats this much of the variance, and more than twice the standard error (Bartlett)
/// that chance would give a series of the same memory.
constexpr double k_least_peak = 0.3;
constexpr double k_errors = 2.0;
/// Half a period on, the swing is on the other side.
constexpr double k_trough = -0.2;

constexpr float k_standing_kmh = 3.0F;
constexpr double k_settle_idle_s = 30.0;
constexpr double k_least_idle_s = 120.0;

constexpr double k_smooth_s = 40.0;
/// A fall lasts a minute at least; a slow one needs longer to stand out from the steps.
constexpr double k_fall_s[] = {60.0, 120.0, 240.0};
constexpr double k_least_fall_k = 1.5;
constexpr double k_least_fall_steps = 2.0;

/// Two days of warm running tell how an engine regulates; a log of months need not be held for it.
constexpr std::size_t k_most_blocks = 20'000;

/// Warm running without a hole: one entry a block.
struct WarmStretch {
  std::vector<double> time_s; ///< middle of the block
  std::vector<double> coolant_c;

  [[nodiscard]] std::size_t size() const { return time_s.size(); }
  [[nodiscard]] double length_s() const { return time_s.back() - time_s.front(); }
};

std::vector<WarmStretch> warm_stretches(const Trip& trip) {
  const Blocks& blocks = trip.blocks;
  const double hole_s = longest_hole_s(trip);
  std::vector<WarmStretch> stretches;
  double known_s = 0.0;
  bool open = false;
  std::size_t taken = 0;
  for (std::size_t i = 0; i < blocks.size() && taken < k_most_blocks; ++i) {
    const bool warm = blocks.phase[i] == Phase::warm;
    if (!warm && blocks.phase[i] != Phase::off) open = false;
    if (!warm || std::isnan(blocks.coolant[i])) continue;
    if (!open || blocks.start_s[i] - known_s > hole_s) stretches.emplace_back();
    open = true;
    ++taken;
    known_s = blocks.end_s[i];
    stretches.back().time_s.push_back(0.5 * (blocks.start_s[i] + blocks.end_s[i]));
    stretches.back().coolant_c.push_back(static_cast<double>(blocks.coolant[i]));
  }
  return stretches;
}

// ---- regular rise and fall ----

/// Departures from a running mean over `width` points (fewer at the ends).
std::vector<double> without_wander(std::span<const double> values, std::size_t width) {
  const std::size_t half = width / 2;
  std::vector<double> sums(values.size() + 1, 0.0);
  for (std::size_t i = 0; i < values.size(); ++i) sums[i + 1] = sums[i] + values[i];
  std::vector<double> rest(values.size());
  for (std::size_t i = 0; i < values.size(); ++i) {
    const std::size_t from = i > half ? i - half : 0;
    const std::size_t to = std::min(values.size(), i + half + 1);
    rest[i] = values[i] - (sums[to] - sums[from]) / static_cast<double>(to - from);
  }
  return rest;
}

/// Bartlett's standard error of an autocorrelation, from the memory of the series: its
/// correlations before the first that is not above 0.
double chance_error(std::span<const double> rho, std::size_t count) {
  double sum = 1.0;
  for (std::size_t k = 1; k < rho.size() && rho[k] > 0.0; ++k) sum += 2.0 * rho[k] * rho[k];
  return std::sqrt(sum / static_cast<double>(count));
}

/// The lag of the first peak after the first trough, if they stand out; 0 if not.
std::size_t period_lag(std::span<const double> rho, std::size_t count) {
  std::size_t k = 1;
  while (k < rho.size() && rho[k] > k_trough) ++k;
  while (k < rho.size() && rho[k] <= 0.0) ++k;
  std::size_t peak = k;
  while (k < rho.size() && rho[k] > 0.0) {
    if (rho[k] > rho[peak]) peak = k;
    ++k;
  }
  // A peak at the end of what was looked at may go on rising.
  if (peak + 1 >= rho.size() || peak < k_shortest_lag) return 0;
  const auto n = static_cast<double>(count);
  const double unbiased = rho[peak] * n / (n - static_cast<double>(peak));
  const double least = std::max(k_least_peak, k_errors * chance_error(rho, count));
  return unbiased >= least ? peak : 0;
}

/// The peak between lags, by the parabola through three.
double refined_lag(std::span<const double> rho, std::size_t lag) {
  const double curve = rho[lag - 1] - 2.0 * rho[lag] + rho[lag + 1];
  if (!(curve < 0.0)) return static_cast<double>(lag);
  return static_cast<double>(lag) + 0.5 * (rho[lag - 1] - rho[lag + 1]) / curve;
}

void measure_swing(Regulation& regulation, const WarmStretch& stretch, double resolution_c) {
  if (stretch.size() < 2) return;
  const double step_s = stretch.length_s() / static_cast<double>(stretch.size() - 1);
  if (!(step_s > 0.0)) return;
  const auto rest =
      without_wander(stretch.coolant_c, static_cast<std::size_t>(k_wander_s / step_s));
  const double longest = std::min({static_cast<double>(k_longest_lag), k_longest_period_s / step_s,
                                   static_cast<double>(rest.size()) / k_least_periods});
  const auto rho = autocorrelation(rest, static_cast<int>(longest));
  const std::size_t lag = period_lag(rho, rest.size());
  if (lag == 0) return;
  const auto n = static_cast<double>(rest.size());
  const double variance =
      std::inner_product(rest.begin(), rest.end(), rest.begin(), 0.0) / n; // the mean is near 0
  // What repeats after one period is the regular part. A mean over a block flattens it a little.
  const double repeated = variance * rho[lag] * n / (n - static_cast<double>(lag));
  const double angle = std::numbers::pi / static_cast<double>(lag);
  const double amplitude_k = std::sqrt(2.0 * repeated) * angle / std::sin(angle);
  if (amplitude_k < 0.5 * resolution_c) return;
  regulation.amplitude_k = amplitude_k;
  regulation.period_s = refined_lag(rho, lag) * step_s;
}

// ---- idle ----

std::optional<double> hottest_idle(const Trip& trip) {
  const Blocks& blocks = trip.blocks;
  std::vector<double> readings;
  double idle_s = 0.0;
  double since_s = 0.0;
  bool standing = false;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const bool stands = blocks.speed[i] < k_standing_kmh && !(blocks.rpm[i] < k_standing_rpm);
    if (stands && !standing) since_s = blocks.start_s[i];
    standing = stands;
    if (!stands || blocks.phase[i] != Phase::warm || std::isnan(blocks.coolant[i])) continue;
    if (blocks.start_s[i] - since_s < k_settle_idle_s) continue;
    idle_s += blocks.end_s[i] - blocks.start_s[i] + std::min(trip.sample_period_s, 10.0);
    readings.push_back(static_cast<double>(blocks.coolant[i]));
  }
  if (idle_s < k_least_idle_s) return std::nullopt;
  return quantile(std::move(readings), 0.95);
}

// ---- cooling ----

/// Means over the blocks next to each other, where blocks are short against the falls looked for:
/// they take the edge off steps and noise.
std::vector<double> smoothed(const WarmStretch& stretch) {
  std::vector<double> values = stretch.coolant_c;
  for (std::size_t i = 1; i + 1 < values.size(); ++i) {
    if (stretch.time_s[i + 1] - stretch.time_s[i - 1] > k_smooth_s) continue;
    values[i] = (stretch.coolant_c[i - 1] + stretch.coolant_c[i] + stretch.coolant_c[i + 1]) / 3.0;
  }
  return values;
}

/// Steepest fall over windows of `window_s`, K/min; 0 when none falls by `least_k`.
double steepest_fall(const WarmStretch& stretch, std::span<const double> coolant_c, double window_s,
                     double least_k) {
  double best = 0.0;
  std::size_t first = 0;
  for (std::size_t last = 0; last < stretch.size(); ++last) {
    while (first < last && stretch.time_s[last] - stretch.time_s[first + 1] >= window_s) ++first;
    const double length_s = stretch.time_s[last] - stretch.time_s[first];
    if (length_s < window_s) continue;
    const double fall_k = coolant_c[first] - coolant_c[last];
    if (fall_k >= least_k) best = std::max(best, 60.0 * fall_k / length_s);
  }
  return best;
}

std::optional<double> best_cooling(const std::vector<WarmStretch>& stretches, double resolution_c) {
  const double least_k = std::max(k_least_fall_k, k_least_fall_steps * resolution_c);
  double best = 0.0;
  for (const WarmStretch& stretch : stretches) {
    const auto coolant_c = smoothed(stretch);
    for (const double window_s : k_fall_s)
      best = std::max(best, steepest_fall(stretch, coolant_c, window_s, least_k));
  }
  if (!(best > 0.0)) return std::nullopt;
  return best;
}

/// A rate takes so much running, s.
constexpr double k_rate_takes_s = 600.0;

std::optional<double> dips_per_hour(const Trip& trip) {
  if (!trip.level_c) return std::nullopt;
  const Dips dips = find_dips(trip, *trip.level_c - k_shut_below_level_k);
  if (dips.warm_s < k_rate_takes_s) return std::nullopt;
  return static_cast<double>(dips.warm) * 3600.0 / dips.warm_s;
}

/// A block's neighbours start no farther away than this, s: else it tells nothing of ten seconds.
constexpr double k_neighbours_s = 15.0;
constexpr std::size_t k_least_blocks = 60;
/// Variance of x₁ − (x₀ + x₂)/2 where each is rounded to steps of 1: 1.5/12.
constexpr double k_rounding_variance = 0.125;

std::optional<double> roughness(const Trip& trip) {
  const Blocks& blocks = trip.blocks;
  const auto warm = [&](std::size_t i) {
    return blocks.phase[i] == Phase::warm && !std::isnan(blocks.coolant[i]);
  };
  double squares = 0.0;
  std::size_t count = 0;
  for (std::size_t i = 1; i + 1 < blocks.size(); ++i) {
    if (!warm(i - 1) || !warm(i) || !warm(i + 1)) continue;
    if (blocks.start_s[i + 1] - blocks.start_s[i - 1] > 2.0 * k_neighbours_s) continue;
    const auto reading = [&](std::size_t k) { return static_cast<double>(blocks.coolant[k]); };
    const double off_k = reading(i) - 0.5 * (reading(i - 1) + reading(i + 1));
    squares += off_k * off_k;
    ++count;
  }
  if (count < k_least_blocks) return std::nullopt;
  const double rounding = k_rounding_variance * trip.resolution_c * trip.resolution_c;
  return std::sqrt(std::max(0.0, squares / static_cast<double>(count) - rounding));
}

} // namespace

Regulation measure_regulation(const Trip& trip) {
  Regulation regulation;
  const auto stretches = warm_stretches(trip);
  const auto longest = std::max_element(
      stretches.begin(), stretches.end(),
      [](const WarmStretch& a, const WarmStretch& b) { return a.length_s() < b.length_s(); });
  if (longest != stretches.end()) measure_swing(regulation, *longest, trip.resolution_c);
  regulation.hottest_idle_c = hottest_idle(trip);
  regulation.best_cooling_k_per_min = best_cooling(stretches, trip.resolution_c);
  regulation.dips_per_h = dips_per_hour(trip);
  regulation.roughness_k = roughness(trip);
  return regulation;
}

} // namespace coolband
