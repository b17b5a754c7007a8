// SPDX-License-Identifier: Apache-2.0
// One drive's warm running in a handful of numbers.
#include "coolband/band/normal_band.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "coolband/numeric/robust_fit.hpp"
#include "numeric/autocorrelation.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

/// Load must vary at least this much within a drive for its effect to be seen, % (1 s.d.).
constexpr double k_least_load_scatter_pct = 5.0;
/// Readings closer than this are never independent, s: the engine's heat capacity sees to that. A
/// coarse reading that hardly moves would otherwise count as many independent looks.
constexpr double k_least_correlation_s = 60.0;

/// The warm blocks of a trip as plain columns.
struct Warm {
  std::vector<double> coolant;
  std::vector<double> load; ///< as long as coolant, or empty
  std::vector<double> ambient;
  double duration_s = 0.0;
};

/// Blocks without load are passed over when nearly all have one, else load is.
bool mostly_loaded(const Trip& trip) {
  std::size_t warm = 0;
  std::size_t loaded = 0;
  for (std::size_t i = 0; i < trip.blocks.size(); ++i) {
    if (trip.blocks.phase[i] != Phase::warm || std::isnan(trip.blocks.coolant[i])) continue;
    ++warm;
    loaded += std::isnan(trip.blocks.load_lagged[i]) ? 0U : 1U;
  }
  return loaded * 10 >= warm * 8;
}

Warm warm_blocks(const Trip& trip) {
  Warm warm;
  const Blocks& blocks = trip.blocks;
  const bool with_load = mostly_loaded(trip);
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (blocks.phase[i] != Phase::warm || std::isnan(blocks.coolant[i])) continue;
    if (with_load && std::isnan(blocks.load_lagged[i])) continue;
    warm.coolant.push_back(static_cast<double>(blocks.coolant[i]));
    warm.duration_s += blocks.end_s[i] - blocks.start_s[i] + trip.sample_period_s;
    if (with_load) warm.load.push_back(static_cast<double>(blocks.load_lagged[i]));
    if (!std::isnan(blocks.ambient[i]))
      warm.ambient.push_back(static_cast<double>(blocks.ambient[i]));
  }
  return warm;
}

/// Robust s.d. that still sees a tail: a thermostat that cycles is not normal about its centre.
double scatter(const std::vector<double>& residuals) {
  constexpr double k_width_of_90_pct = 3.2897072539029444; // 2 Φ⁻¹(0.95)
  const double tails = (quantile(residuals, 0.95) - quantile(residuals, 0.05)) / k_width_of_90_pct;
  return std::max(mad_sigma(residuals), tails);
}

std::vector<double> about_fit(const Warm& warm, const DriveSummary& drive) {
  std::vector<double> residuals(warm.coolant.size());
  for (std::size_t i = 0; i < residuals.size(); ++i) {
    const double load =
        drive.load_slope ? *drive.load_slope * (warm.load[i] - *drive.load_mean_pct) : 0.0;
    residuals[i] = warm.coolant[i] - drive.level_c - load;
  }
  return residuals;
}

void add_load(const Warm& warm, DriveSummary& drive) {
  if (warm.load.empty()) return;
  double sum = 0.0;
  for (const double load : warm.load) sum += load;
  drive.load_mean_pct = sum / static_cast<double>(warm.load.size());
  drive.load_scatter_pct = mad_sigma(warm.load);
  drive.load_seen_pct = Range{quantile(warm.load, 0.05), quantile(warm.load, 0.95)};
}

/// Level, and slope on load where load varies enough.
void fit_level(const Warm& warm, DriveSummary& drive) {
  std::vector<std::vector<double>> columns;
  if (drive.load_scatter_pct && *drive.load_scatter_pct >= k_least_load_scatter_pct) {
    columns.emplace_back(warm.load);
    for (double& load : columns.back()) load -= *drive.load_mean_pct;
  }
  RobustFitOptions options;
  options.loss = Loss::bisquare;
  const auto fit = fit_robust(warm.coolant, columns, options);
  if (!fit) { // cannot happen with finite columns that vary; the median needs no fit
    drive.level_c = median(warm.coolant);
    return;
  }
  drive.level_c = fit->coefficients[0];
  if (columns.empty()) return;
  drive.load_slope = fit->coefficients[1];
  drive.load_slope_error = fit->standard_errors[1];
}

/// Far below what any of these numbers means, and far above what differs between math libraries:
/// the same log gives the same band file on every machine.
double round_off(double value) { return std::round(value * 1e6) / 1e6; }

void round_off(std::optional<double>& value) {
  if (value) *value = round_off(*value);
}

void round_off(std::optional<Range>& range) {
  if (range) range = Range{round_off(range->low), round_off(range->high)};
}

void round_off(DriveSummary& drive) {
  for (double* value : {&drive.warm_s, &drive.level_c, &drive.scatter_c, &drive.effective_count,
                        &drive.correlation_s, &drive.resolution_c, &drive.hottest_c}) {
    *value = round_off(*value);
  }
  for (auto* value : {&drive.load_mean_pct, &drive.load_scatter_pct, &drive.load_slope,
                      &drive.load_slope_error, &drive.ambient_mean_c}) {
    round_off(*value);
  }
  round_off(drive.load_seen_pct);
  round_off(drive.ambient_seen_c);
}

} // namespace

Result<DriveSummary> summarise_drive(const Trip& trip, const std::string& source,
                                     const std::string& start, const LearnOptions& options) {
  const Warm warm = warm_blocks(trip);
  if (warm.coolant.size() < 3 || warm.duration_s < options.least_warm_s) {
    return Error{ErrorKind::input,
                 {source},
                 fmt::format("only {} of warm running; {} are needed to learn from",
                             format_duration(warm.duration_s),
                             format_duration(options.least_warm_s)),
                 "",
                 "log longer drives: about 10 min to warm up, then at least 20 min"};
  }
  DriveSummary drive;
  drive.source = source;
  drive.start = start;
  drive.warm_s = warm.duration_s;
  drive.resolution_c = trip.resolution_c;
  drive.hottest_c = *std::max_element(warm.coolant.begin(), warm.coolant.end());
  add_load(warm, drive);
  fit_level(warm, drive);
  const auto residuals = about_fit(warm, drive);
  drive.scatter_c = scatter(residuals);
  drive.effective_count =
      std::min(effective_count(residuals), std::max(1.0, warm.duration_s / k_least_correlation_s));
  drive.correlation_s = warm.duration_s / drive.effective_count;
  if (drive.load_slope_error) {
    *drive.load_slope_error *=
        std::sqrt(static_cast<double>(residuals.size()) / drive.effective_count);
  }
  if (!warm.ambient.empty()) {
    drive.ambient_mean_c = median(warm.ambient);
    drive.ambient_seen_c = Range{quantile(warm.ambient, 0.0), quantile(warm.ambient, 1.0)};
  }
  round_off(drive);
  return drive;
}

} // namespace coolband
