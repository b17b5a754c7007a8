// SPDX-License-Identifier: Apache-2.0
// One drive's warm running in a handful of numbers.
#include "band/condition_walk.hpp"
#include "band/moments.hpp"
#include "band/rounded.hpp"
#include "band/summarise_trip.hpp"
#include "circuit/circuit_drive.hpp"
#include "coolband/band/normal_band.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "coolband/numeric/robust_fit.hpp"
#include "numeric/autocorrelation.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Readings closer than this are never independent, s: the engine's heat capacity sees to that. A
/// coarse reading that hardly moves would otherwise count as many independent looks.
constexpr double k_least_correlation_s = 60.0;
/// A factor that fewer blocks have is left out; where more have it, those without it are.
constexpr double k_mostly = 0.8;

using Values = std::vector<double>;

/// The warm blocks of a trip, a column a factor; NaN where it is not known.
struct WarmBlocks {
  std::array<Values, k_factor_count> columns;
  Values ambient;
  Values duration_s;

  [[nodiscard]] const Values& of(Factor factor) const {
    return columns[static_cast<std::size_t>(factor)];
  }
  [[nodiscard]] std::size_t size() const { return duration_s.size(); }
};

template <class Change>
void for_each_column(WarmBlocks& warm, Change change) {
  for (Values& column : warm.columns) change(column);
  change(warm.ambient);
  change(warm.duration_s);
}

WarmBlocks warm_blocks(const Trip& trip) {
  WarmBlocks warm;
  const Blocks& blocks = trip.blocks;
  for_each_column(warm, [&](Values& column) { column.reserve(blocks.size()); });
  ConditionWalk walk(blocks);
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    walk.step();
    if (blocks.phase[i] != Phase::warm || std::isnan(blocks.coolant[i])) continue;
    for (std::size_t f = 0; f < k_factor_count; ++f)
      warm.columns[f].push_back(walk.value(static_cast<Factor>(f)));
    warm.ambient.push_back(static_cast<double>(blocks.ambient[i]));
    warm.duration_s.push_back(blocks.end_s[i] - blocks.start_s[i] + trip.sample_period_s);
  }
  return warm;
}

std::vector<Factor> mostly_known(const WarmBlocks& warm) {
  std::vector<Factor> factors;
  for (std::size_t f = 0; f < k_factor_count; ++f) {
    const Values& column = warm.columns[f];
    const auto known = std::count_if(column.begin(), column.end(),
                                     [](double value) { return !std::isnan(value); });
    if (static_cast<double>(known) >= k_mostly * static_cast<double>(warm.size()))
      factors.push_back(static_cast<Factor>(f));
  }
  return factors;
}

/// Leaves out the blocks that lack one of the factors.
void keep_whole(WarmBlocks& warm, const std::vector<Factor>& factors) {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < warm.size(); ++i) {
    const bool all = std::none_of(factors.begin(), factors.end(),
                                  [&](Factor f) { return std::isnan(warm.of(f)[i]); });
    if (!all) continue;
    for_each_column(warm, [&](Values& column) { column[kept] = column[i]; });
    ++kept;
  }
  for_each_column(warm, [&](Values& column) { column.resize(kept); });
}

/// Robust s.d. that still sees its tails, up to those that a band of 95 % has to hold: a thermostat
/// that cycles is not normal about its centre.
double scatter(const std::vector<double>& residuals) {
  constexpr double k_width_of_90_pct = 3.2897072539029444; // 2 Φ⁻¹(0.95)
  constexpr double k_width_of_95_pct = 3.9199279690801085; // 2 Φ⁻¹(0.975)
  const auto width = [&](double share) {
    return quantile(residuals, 1.0 - share) - quantile(residuals, share);
  };
  return std::max(
      {mad_sigma(residuals), width(0.05) / k_width_of_90_pct, width(0.025) / k_width_of_95_pct});
}

double spread_of(const Values& column) {
  double mean = 0.0;
  for (const double value : column) mean += value / static_cast<double>(column.size());
  double square = 0.0;
  for (const double value : column) square += (value - mean) * (value - mean);
  return std::sqrt(square / static_cast<double>(column.size()));
}

/// How far each block counts: outliers about level and load, the strongest effect, go.
std::vector<double> robust_weights(const WarmBlocks& warm, const std::vector<Factor>& factors) {
  std::span<const Values> columns;
  const bool loaded = std::find(factors.begin(), factors.end(), Factor::load_60s) != factors.end();
  if (loaded && spread_of(warm.of(Factor::load_60s)) >= k_least_load_scatter_pct)
    columns = std::span(&warm.of(Factor::load_60s), 1);
  RobustFitOptions options;
  options.loss = Loss::bisquare;
  const auto fit = fit_robust(warm.of(Factor::coolant), columns, options);
  // Cannot fail with finite columns that vary.
  return fit ? fit->weights : std::vector<double>(warm.size(), 1.0);
}

Moments moments_of(const WarmBlocks& warm, const std::vector<Factor>& factors) {
  const auto weights = robust_weights(warm, factors);
  MomentSum sum(factors);
  std::vector<double> row(factors.size());
  for (std::size_t i = 0; i < warm.size(); ++i) {
    for (std::size_t f = 0; f < factors.size(); ++f) row[f] = warm.of(factors[f])[i];
    sum.add(row, weights[i]);
  }
  return sum.finish();
}

/// What is left of the coolant about a fit that goes through the means.
std::vector<double> residuals_about(const WarmBlocks& warm, const Moments& moments,
                                    const std::vector<Regressor>& regressors,
                                    const std::vector<double>& slopes) {
  std::vector<double> residuals = warm.of(Factor::coolant);
  for (double& residual : residuals) residual -= mean_of(moments, Factor::coolant);
  for (std::size_t r = 0; r < regressors.size(); ++r) {
    const Values& values = warm.of(regressors[r].factor);
    const double mean = mean_of(moments, regressors[r]);
    for (std::size_t i = 0; i < residuals.size(); ++i)
      residuals[i] -= slopes[r] * (values[i] - mean);
  }
  return residuals;
}

/// Looks are counted about level and load alone: a fit on more takes slow wandering with it.
double looks_of(const WarmBlocks& warm, const Moments& moments) {
  const auto slope = own_load_slope(moments);
  if (!slope) return effective_count(residuals_about(warm, moments, {}, {}));
  return effective_count(
      residuals_about(warm, moments, {{Factor::load_60s, Factor::load_60s, 0.0}}, {*slope}));
}

std::optional<Range> seen(const WarmBlocks& warm, const Moments& moments, Factor factor) {
  if (!has(moments, factor)) return std::nullopt;
  return Range{quantile(warm.of(factor), 0.05), quantile(warm.of(factor), 0.95)};
}

void add_ambient(const WarmBlocks& warm, DriveSummary& drive) {
  Values known;
  std::copy_if(warm.ambient.begin(), warm.ambient.end(), std::back_inserter(known),
               [](double value) { return !std::isnan(value); });
  if (known.empty()) return;
  const auto [low, high] = std::minmax_element(known.begin(), known.end());
  drive.ambient_seen_c = Range{*low, *high};
  drive.ambient_mean_c = median(std::move(known));
}

/// Only a warm-up from its beginning to its end tells how this vehicle warms up.
std::optional<WarmUp> whole_warm_up(const Trip& trip) {
  if (trip.warm_ups.empty() || !trip.warm_ups.front().reached_s) return std::nullopt;
  return trip.warm_ups.front();
}

/// Far below what any of these numbers means, and far above what differs between math libraries:
/// the same log gives the same band file on every machine.
double rounded(double value) { return rounded_to(value, 7); }

void round_off(std::optional<double>& value) {
  if (value) value = rounded(*value);
}

void round_off(std::optional<Range>& range) {
  if (range) range = Range{rounded(range->low), rounded(range->high)};
}

void round_off(DriveSummary& drive) {
  for (double* value : {&drive.warm_s, &drive.level_c, &drive.scatter_c, &drive.effective_count,
                        &drive.correlation_s, &drive.resolution_c, &drive.hottest_c})
    *value = rounded(*value);
  for (double& value : drive.moments.mean) value = rounded(value);
  for (double& value : drive.moments.covariance) value = rounded(value);
  round_off(drive.ambient_mean_c);
  for (auto* range : {&drive.load_seen_pct, &drive.speed_seen_kmh, &drive.climb_seen_m_per_min,
                      &drive.ambient_seen_c})
    round_off(*range);
  if (drive.warm_up) {
    drive.warm_up->from_c = rounded(drive.warm_up->from_c);
    for (auto* value :
         {&drive.warm_up->reached_s, &drive.warm_up->rate_k_per_min, &drive.warm_up->opened_c,
          &drive.warm_up->load_mean_pct, &drive.warm_up->ambient_c})
      round_off(*value);
  }
  for (auto* value : {&drive.regulation.amplitude_k, &drive.regulation.period_s,
                      &drive.regulation.hottest_idle_c, &drive.regulation.best_cooling_k_per_min,
                      &drive.regulation.dips_per_h, &drive.regulation.roughness_k})
    round_off(*value);
}

double total(const Values& column) {
  double sum = 0.0;
  for (const double value : column) sum += value;
  return sum;
}

/// A summary with all that it takes from the trip itself; the rest is in the blocks.
struct Begun {
  DriveSummary drive;
  WarmBlocks warm;
  std::vector<Factor> factors;
};

Result<Begun> begin_summary(const Trip& trip, const std::string& source, const std::string& start,
                            const LearnOptions& options) {
  Begun begun;
  begun.warm = warm_blocks(trip);
  begun.factors = mostly_known(begun.warm);
  keep_whole(begun.warm, begun.factors);
  DriveSummary& drive = begun.drive;
  drive.warm_s = total(begun.warm.duration_s);
  if (begun.warm.size() < 3 || drive.warm_s < options.least_warm_s) {
    return Error{ErrorKind::input,
                 {source},
                 fmt::format("only {} of warm running; {} are needed to learn from",
                             format_duration(drive.warm_s), format_duration(options.least_warm_s)),
                 "",
                 "log longer drives: about 10 min to warm up, then at least 20 min"};
  }
  drive.source = source;
  drive.start = start;
  drive.resolution_c = trip.resolution_c;
  drive.warm_up = whole_warm_up(trip);
  drive.regulation = trip.regulation;
  drive.circuit = circuit_drive(trip.blocks, k_circuit_beginning_s);
  return begun;
}

/// Columns that nobody asks for any more.
void drop_unused(WarmBlocks& warm, const std::vector<Factor>& factors) {
  for (std::size_t f = 0; f < k_factor_count; ++f) {
    const bool used =
        std::find(factors.begin(), factors.end(), static_cast<Factor>(f)) != factors.end();
    if (!used) warm.columns[f] = Values();
  }
}

DriveSummary finish_summary(Begun begun) {
  WarmBlocks& warm = begun.warm;
  DriveSummary& drive = begun.drive;
  drop_unused(warm, begun.factors);
  const Values& coolant = warm.of(Factor::coolant);
  drive.hottest_c = *std::max_element(coolant.begin(), coolant.end());
  drive.moments = moments_of(warm, begun.factors);
  drive.level_c = mean_of(drive.moments, Factor::coolant);
  const OwnFit fit = own_fit(drive.moments);
  drive.scatter_c = scatter(residuals_about(warm, drive.moments, fit.regressors, fit.slopes));
  drive.effective_count =
      std::min(looks_of(warm, drive.moments), std::max(1.0, drive.warm_s / k_least_correlation_s));
  drive.correlation_s = drive.warm_s / drive.effective_count;
  drive.load_seen_pct = seen(warm, drive.moments, Factor::load_60s);
  drive.speed_seen_kmh = seen(warm, drive.moments, Factor::speed);
  drive.climb_seen_m_per_min = seen(warm, drive.moments, Factor::climb);
  add_ambient(warm, drive);
  round_off(drive);
  return std::move(drive);
}

} // namespace

Result<DriveSummary> summarise_drive(const Trip& trip, const std::string& source,
                                     const std::string& start, const LearnOptions& options) {
  auto begun = begin_summary(trip, source, start, options);
  if (!begun) return begun.error();
  return finish_summary(std::move(*begun));
}

Result<DriveSummary> summarise_and_drop(Trip& trip, const std::string& source,
                                        const std::string& start, const LearnOptions& options) {
  auto begun = begin_summary(trip, source, start, options);
  trip.blocks = Blocks();
  if (!begun) return begun.error();
  return finish_summary(std::move(*begun));
}

} // namespace coolband
